"""Draws what a bench prints, true to size: pages of marks, written as SVG or PDF."""

"""Instruments, hands and visits that never existed, to see how often the decisions are right."""

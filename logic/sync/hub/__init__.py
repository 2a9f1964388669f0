"""The hub: stores and forwards the histories of benches, and decides nothing."""

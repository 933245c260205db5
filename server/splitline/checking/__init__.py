"""Whether what arrived can be true: one small function per rule, each with a code."""

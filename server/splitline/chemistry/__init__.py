"""The science of the tube: pure functions, no clock, no randomness, no input or output."""

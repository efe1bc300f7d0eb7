"""Compiled kernels; importing this folder compiles nothing."""

"""The course of care: what is asked of the layers below for one shoulder, step by step."""

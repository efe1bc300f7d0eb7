"""Independent finite-element answers to the same sheet and layer, by scikit-fem (the ``reference`` extra)."""

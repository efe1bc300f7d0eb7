"""Suture limbs in theatre: what may be done next, what must not, the shortest order of work, and what may tangle."""

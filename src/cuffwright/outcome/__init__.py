"""Whether it worked: scores, change against published limits, visits, healing by imaging, recovery."""

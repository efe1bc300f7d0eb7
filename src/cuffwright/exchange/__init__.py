"""Cases and answers in and out: the case file, plain values for the store and the interface, the printed report."""

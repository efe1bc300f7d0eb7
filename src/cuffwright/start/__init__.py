"""Where the program starts: joins command line and page, which do not know each other."""

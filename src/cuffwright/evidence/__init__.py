"""Published numbers as rows with a source, and the one loader that reads them."""

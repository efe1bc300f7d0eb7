"""Whether to repair: classes, published odds side by side, reasons against, work on bone. It never decides."""

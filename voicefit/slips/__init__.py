"""Order slips on paper: PDF with outlines to scale, labels with a QR code (edge: its libraries read the clock)."""

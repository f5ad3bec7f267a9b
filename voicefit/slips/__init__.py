"""Order slips on paper: PDF with outlines to scale, labels with a QR code (edge: its libraries read the clock).

How it works. A session's facts become an :class:`~voicefit.ordering.slip.OrderSlip` (``job``); text, CSV and JSON are
the ordering room's, a PDF draws its outlines from the tables' own millimetres (``pdf``), and a label carries the JSON
itself in its code, over several labels where it is long (``label``). A file is written whole or not at all (``files``).

Duty: lay out what a slip holds. It must not compute or word anything of its own.
"""

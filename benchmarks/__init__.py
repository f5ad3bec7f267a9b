"""The benchmarks: they print the figures that the README quotes, and stand beside the package, not in it.

``python -m benchmarks NAME`` runs one (see ``__main__``). Each works on the product as it ships, with people, pieces,
noise and kills that it makes or is given, and prints what came of it, as JSON with ``--json``.
"""

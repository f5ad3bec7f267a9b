"""Trains the sentence classifier: see ``README.md`` beside this file."""

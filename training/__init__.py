"""Training of the recogniser's weights for a loud workshop: sentences, voices, noises, the loss, the export.

Not part of the tool and not in its wheel. `README.md` beside this file says how to repeat it; `sources.toml` names
every source and its licence.
"""

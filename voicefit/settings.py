"""The user's lasting settings (edge)."""

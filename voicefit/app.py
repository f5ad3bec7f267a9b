"""The only loop: takes events from the edges, performs the effects of the session."""

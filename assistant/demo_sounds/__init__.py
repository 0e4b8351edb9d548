"""The sounds of the scripted session."""

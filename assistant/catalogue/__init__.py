"""The words of screen and voice: one entry for each kind of answer, one for each sentence."""

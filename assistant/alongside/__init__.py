"""Work alongside: sequences that go on over many questions."""

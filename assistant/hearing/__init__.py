"""Sound to words: microphone, end of speech, WAV files, and recognisers behind one small protocol."""

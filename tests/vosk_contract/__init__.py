"""What Swarfside relies on in Vosk itself; run when asked for: `python -m tests.vosk_contract`."""

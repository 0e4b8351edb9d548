"""What can be said: Lark files, pronunciations, typed designations; words in, Query out."""

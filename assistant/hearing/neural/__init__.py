"""A neural speech model held to the sentences of the grammar: what the words are, told from the whole sound."""

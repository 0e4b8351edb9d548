"""Lathes: the fields of a profile, its loader and its checks, and the invented lathes."""

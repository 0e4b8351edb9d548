"""Wall charts of a lathe: the tables, the page they are laid out on, and the file that is printed."""

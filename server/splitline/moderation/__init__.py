"""What whoever keeps a server decides beyond single records: changes of sources, and contributors as a whole."""

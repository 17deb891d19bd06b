"""How the reader of spoken notes is taught."""

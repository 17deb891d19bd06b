"""How the trained reading of spoken notes is taught; nothing here is needed to run the tool."""

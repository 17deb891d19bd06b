"""What the tool costs: touches at the table, milliseconds of the server, animals per second."""

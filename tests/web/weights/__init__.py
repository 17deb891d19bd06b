"""What the pages say and draw of weights."""

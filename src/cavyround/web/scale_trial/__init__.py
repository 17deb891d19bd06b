"""A scale read straight into the browser: its numbers, and the page to try one."""

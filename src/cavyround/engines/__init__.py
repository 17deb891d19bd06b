"""Pure computation: no database, no web, no clock."""

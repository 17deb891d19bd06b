"""Courses: due doses, ends, cycles, contacts, supply, round and questions."""

"""Triage: facts to fired rules to urgency, problems, what to do, when to look again."""

from cavyround.engines.triage.answer import Answer
from cavyround.engines.triage.assessing import assess, urgency_of

__all__ = ["Answer", "assess", "urgency_of"]

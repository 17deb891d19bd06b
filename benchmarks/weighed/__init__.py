"""Weight alarms on invented animals whose truth is known, beside the rules carers use."""

"""What the record tells those above it when something changed that they keep sums of."""

from django.dispatch import Signal

# Sent inside the transaction, once for a sending, with `animals` (ids) and `now`: a weighing of
# theirs, or what bears on weight, came, went or changed.
weights_changed = Signal()

"""What an order says of doses that do not go as planned, each with its words."""

from enum import StrEnum


class IfLate(StrEnum):
    """What the order says of a dose whose window is over but which is not yet missed."""

    GIVE_KEEP_PLAN = "give_keep_plan"
    GIVE_MOVE_PLAN = "give_move_plan"
    LEAVE_OUT = "leave_out"
    ASK_VET = "ask_vet"


class IfMissed(StrEnum):
    """What the order says of a dose nobody gave in time."""

    LEAVE_OUT = "leave_out"
    ADD_AT_END = "add_at_end"
    GIVE_MOVE_PLAN = "give_move_plan"
    BEGIN_AGAIN = "begin_again"
    ASK_VET = "ask_vet"


class IfPartly(StrEnum):
    """What the order says of a dose that was partly taken or spat out."""

    COUNTS = "counts"
    GIVE_REST = "give_rest"
    GIVE_AGAIN = "give_again"
    ASK_VET = "ask_vet"


class DayOff(StrEnum):
    """Whether a dose that falls on a day off may be moved, and which way."""

    KEEP = "keep"
    EARLIER = "earlier"
    LATER = "later"


WORDS_IF_LATE = {
    IfLate.GIVE_KEEP_PLAN: "give it now; the next stays as planned",
    IfLate.GIVE_MOVE_PLAN: "give it now; the next are counted from it",
    IfLate.LEAVE_OUT: "leave it out; give the next as planned, never two at once",
    IfLate.ASK_VET: "ask the vet before giving it",
}
WORDS_IF_MISSED = {
    IfMissed.LEAVE_OUT: "leave it out; give the next as planned, never two at once",
    IfMissed.ADD_AT_END: "leave it out and give one more at the end",
    IfMissed.GIVE_MOVE_PLAN: "give it when it is noticed; the next are counted from it",
    IfMissed.BEGIN_AGAIN: "begin the course again from the next dose",
    IfMissed.ASK_VET: "ask the vet what to do",
}
WORDS_IF_PARTLY = {
    IfPartly.COUNTS: "it counts as given; give nothing more",
    IfPartly.GIVE_REST: "give the rest",
    IfPartly.GIVE_AGAIN: "give the whole dose again",
    IfPartly.ASK_VET: "ask the vet before giving more",
}

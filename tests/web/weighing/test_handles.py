"""Which animal a text means: between two it is never guessed."""

from datetime import date

from cavyround.web.weighing.notebook.handles import Handles, Known

HERE = Known(id="a-1", name="Bramble", came=date(2026, 1, 1))
LEFT = Known(id="a-2", name="bramble", came=date(2024, 1, 1), left=date(2025, 6, 1))
CLOVER = Known(id="a-3", name="Clover", microchip="985141000123456")
HERD = Handles([HERE, LEFT, CLOVER])


def test_a_name_a_microchip_or_an_id_means_an_animal() -> None:
    for handle in ("clover", "CLOVER", " Clover ", "985141000123456", "a-3"):
        assert HERD.meant_by(handle, None).animals == (CLOVER,)


def test_of_one_name_only_those_are_meant_that_were_here_on_the_day() -> None:
    assert HERD.meant_by("Bramble", date(2026, 3, 4)).animals == (HERE,)
    assert HERD.meant_by("Bramble", date(2025, 3, 4)).animals == (LEFT,)
    assert HERD.meant_by("Bramble", None).animals == (HERE,)


def test_a_name_that_two_have_is_asked() -> None:
    both = Handles([HERE, Known(id="a-9", name="Bramble")]).meant_by("Bramble", None)
    assert len(both.animals) == 2


def test_a_name_like_another_is_offered_and_never_taken() -> None:
    meant = HERD.meant_by("Clovr", date(2026, 3, 4))
    assert meant.animals == (CLOVER,)
    assert not meant.sure
    assert HERD.meant_by("Hazel", None).animals == ()


def test_a_number_in_a_name_is_never_like_another_number() -> None:
    pups = Handles([Known(id="p3", name="Pup 3"), Known(id="p4", name="Pup 4")])
    assert pups.meant_by("Pup 5", None).animals == ()

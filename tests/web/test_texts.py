"""What is put together from parts that are JSON already is the JSON of the whole."""

import json

from hypothesis import given
from hypothesis import strategies as st

from cavyround.web.checking.texts import object_of

names = st.sampled_from(["name", "age", "plan", "why"])
values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(), inner, max_size=2),
    max_leaves=5,
)


@given(st.dictionaries(names, values), st.dictionaries(names, values))
def test_the_parts_come_to_the_whole(plain: dict[str, object], written: dict[str, object]) -> None:
    texts = {name: json.dumps(value) for name, value in written.items()}
    assert json.loads(object_of(plain, texts)) == plain | written

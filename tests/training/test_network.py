"""The tool's own pass over the network answers what the network answers while it is taught."""

from typing import Any

import numpy as np
import pytest
from training.examples import Example
from training.labelled import labelled

from cavyround.engines.spoken.tokens import tokens_of
from cavyround.engines.spoken.trained.words_answered import answers_for
from cavyround.knowledge.trained import trained_weights

torch: Any = pytest.importorskip(
    "torch", reason="torch is only there where the reader is taught", exc_type=ImportError
)

SENTENCES = (
    "Biscuit, seven eighty, left ear crusty, no scabs.",
    "Pip’s nails done; Nettle's weren't, she wouldn't let me.",  # noqa: RUF001 -- as phones write
    "right this is bramley bum clean nose dry up fifteen grams and the rest of him is fine",
)
CLOSE = 1e-3


@pytest.mark.parametrize("text", SENTENCES)
def test_numpy_and_torch_answer_alike(text: str) -> None:
    from training.learned_codes import codes_of  # noqa: PLC0415 -- torch may be absent
    from training.lessons import batch_of, lesson_of  # noqa: PLC0415
    from training.network import Network  # noqa: PLC0415
    from training.pack import weights_of  # noqa: PLC0415

    labels = labelled(Example(text, ()), ())
    torch.manual_seed(7)
    # Every hint of the text, four times, so that none is too seldom.
    network = Network(codes_of([labels.hints] * 4))
    torch.nn.init.normal_(network.wide.weight)
    network.eval()
    pieces = {piece: at for at, piece in enumerate(trained_weights().pieces)}
    with torch.no_grad():
        answers, states = network(*batch_of([lesson_of(labels, network.learned, pieces)]).read)
    read = answers_for(tokens_of(text), labels.hints, text, weights_of(network, pieces))
    assert read.states == pytest.approx(states[0].numpy(), abs=CLOSE)
    assert float(np.abs(read.states).max()) > 1, "numbers that are all nought prove nothing"
    for name, scores in answers.items():
        assert read.of(name) == pytest.approx(scores[0].numpy(), abs=CLOSE), name

"""The network as it is taught (PyTorch); the tool's own pass over it is plain NumPy.

The names of the parts are those of the tool's file: ``e`` the encoder with ``w`` words, ``p``
places, ``n`` norm, ``h`` hints and ``l`` layers; ``h2`` the hints once more beside the state;
``heads`` the answers, ``wide`` what a hint says to an answer by itself; ``qa``, ``ka``, ``null``
and ``rel`` of whom a word is said.
"""

from collections.abc import Sequence

import torch
from safetensors.torch import load_file
from torch import Tensor, nn
from torch.nn import functional

from training import codes
from training.base import base_files
from training.learned_codes import LearnedCodes

WIDTH, HEADS, LAYERS, MOST_PLACES, PIECES = 384, 12, 6, 512, 30522
HINT_WIDTH, OWNER_WIDTH, RELATIONS = 64, 96, 64
TINY = 1e-12
DROPPED, DROPPED_STATE = 0.1, 0.15
# Each answer is given by one word in many: the network begins by saying none.
SELDOM = {"F": -6.0, "K": -6.0, "B": -6.0, "S": -6.0, "R": -3.0, "U": -2.0}
# A naming just before is likeliest meant, and the one the rules take is likelier still.
BY_RANK = (2.5, 0.5, -0.5, -1, -0.5, -1.5, -2, -2) + (0,) * 8
SAME_SENTENCE, AS_RULED = 0.5, 1.5


class Layer(nn.Module):
    """One layer: attention, then a wide step, each added to the state and normed."""

    def __init__(self) -> None:
        super().__init__()
        self.q = nn.Linear(WIDTH, WIDTH)
        self.k = nn.Linear(WIDTH, WIDTH)
        self.v = nn.Linear(WIDTH, WIDTH)
        self.o = nn.Linear(WIDTH, WIDTH)
        self.n1 = nn.LayerNorm(WIDTH, eps=TINY)
        self.i = nn.Linear(WIDTH, 4 * WIDTH)
        self.u = nn.Linear(4 * WIDTH, WIDTH)
        self.n2 = nn.LayerNorm(WIDTH, eps=TINY)
        self.d = nn.Dropout(DROPPED)

    def forward(self, states: Tensor, there: Tensor) -> Tensor:
        """The states after this layer."""
        count, places, _ = states.shape

        def of_heads(linear: nn.Linear) -> Tensor:
            return linear(states).view(count, places, HEADS, WIDTH // HEADS).transpose(1, 2)

        attended = functional.scaled_dot_product_attention(
            of_heads(self.q),
            of_heads(self.k),
            of_heads(self.v),
            attn_mask=there,
            dropout_p=DROPPED if self.training else 0.0,
        )
        attended = attended.transpose(1, 2).reshape(count, places, WIDTH)
        states = self.n1(states + self.d(self.o(attended)))
        return self.n2(states + self.d(self.u(functional.gelu(self.i(states)))))


class Encoder(nn.Module):
    """Pieces of words with their hints in, a state for each out."""

    def __init__(self, hints: int) -> None:
        super().__init__()
        self.w = nn.Embedding(PIECES, WIDTH)
        self.p = nn.Embedding(MOST_PLACES, WIDTH)
        self.n = nn.LayerNorm(WIDTH, eps=TINY)
        self.l = nn.ModuleList(Layer() for _ in range(LAYERS))
        self.h = nn.EmbeddingBag(hints, WIDTH, mode="sum", padding_idx=0)
        self.d = nn.Dropout(DROPPED)
        nn.init.normal_(self.h.weight, std=0.01)
        self.h.weight.data[0] = 0

    def take_base(self, kept: dict[str, Tensor]) -> None:
        """Begin with the base weights, by the names they have in their own file."""
        kept = {name.removeprefix("bert."): numbers for name, numbers in kept.items()}
        place = kept["embeddings.position_embeddings.weight"]
        self.w.weight.data.copy_(kept["embeddings.word_embeddings.weight"])
        self.p.weight.data.copy_(place + kept["embeddings.token_type_embeddings.weight"][0])
        _copy(self.n, kept, "embeddings.LayerNorm")
        for number, layer in enumerate(self.l):
            for part, name in (
                (layer.q, "attention.self.query"),
                (layer.k, "attention.self.key"),
                (layer.v, "attention.self.value"),
                (layer.o, "attention.output.dense"),
                (layer.n1, "attention.output.LayerNorm"),
                (layer.i, "intermediate.dense"),
                (layer.u, "output.dense"),
                (layer.n2, "output.LayerNorm"),
            ):
                _copy(part, kept, f"encoder.layer.{number}.{name}")

    def forward(self, pieces: Tensor, hints: Tensor, there: Tensor) -> Tensor:
        """The state of each piece; ``there`` is False where a shorter text has none."""
        count, places = pieces.shape
        states = self.w(pieces) + self.p(torch.arange(places)[None])
        states = states + self.h(hints.view(count * places, -1)).view(count, places, WIDTH)
        states = self.d(self.n(states))
        # Numbers of half the bits, while it is taught: half again as fast on a processor that has
        # them, and the sums are kept in full.
        with torch.autocast("cpu", torch.bfloat16, enabled=self.training):
            for layer in self.l:
                states = layer(states, there[:, None, None, :])
        return states.float()


def _copy(part: nn.Module, kept: dict[str, Tensor], name: str) -> None:
    part.weight.data.copy_(kept[f"{name}.weight"])
    part.bias.data.copy_(kept[f"{name}.bias"])


class Network(nn.Module):
    """The encoder and all answers."""

    def __init__(self, learned: LearnedCodes) -> None:
        super().__init__()
        self.learned = learned
        hints = len(learned.hints) + 1
        state = WIDTH + HINT_WIDTH
        self.e = Encoder(hints)
        self.h2 = nn.EmbeddingBag(hints, HINT_WIDTH, mode="sum", padding_idx=0)
        self.drop = nn.Dropout(DROPPED_STATE)
        self.heads = nn.Linear(state, learned.columns)
        for name, (begin, width) in learned.heads.items():
            if name in SELDOM:
                self.heads.bias.data[begin : begin + width] = SELDOM[name]
                self.heads.weight.data[begin : begin + width] *= 0.2
        self.qa = nn.Linear(state, OWNER_WIDTH)
        self.ka = nn.Linear(state, OWNER_WIDTH)
        self.null = nn.Linear(state, 1)
        self.rel = nn.Embedding(RELATIONS, 1)
        for relation in range(RELATIONS):
            rank, same, ruled = relation // 4, relation // 2 % 2, relation % 2
            self.rel.weight.data[relation, 0] = (
                BY_RANK[rank] + SAME_SENTENCE * same + AS_RULED * ruled
            )
        self.wide = nn.EmbeddingBag(hints, learned.columns, mode="sum", padding_idx=0)
        nn.init.zeros_(self.wide.weight)

    def begin(self) -> None:
        """Start from the base weights, and from what the rules answered."""
        self.e.take_base(load_file(base_files() / "model.safetensors"))
        for hint, row in self.learned.hint_rows.items():
            for column, trust in _said_by(hint, self.learned):
                self.wide.weight.data[row, column] = trust

    def forward(
        self, pieces: Tensor, hints: Tensor, there: Tensor, first: Tensor, word_hints: Tensor
    ) -> tuple[dict[str, Tensor], Tensor]:
        """The answers for each word by their kind, and the state of each word.

        ``first``: the first piece of each word.
        """
        states = self.e(pieces, hints, there)
        count, words = first.shape
        states = torch.gather(states, 1, first[:, :, None].expand(-1, -1, WIDTH))
        flat = word_hints.view(count * words, -1)
        states = self.drop(torch.cat([states, self.h2(flat).view(count, words, -1)], -1))
        scores = self.heads(states) + self.wide(flat).view(count, words, -1)
        heads = self.learned.heads.items()
        return {name: scores[..., at : at + width] for name, (at, width) in heads}, states


def _said_by(hint: str, learned: LearnedCodes) -> list[tuple[int, float]]:
    """The columns a hint of the rules' answer speaks for, and how much it is trusted at first."""
    statuses = ("present", "absent", "uncertain")
    listed: Sequence[tuple[str, str, Sequence[str], float]] = (
        ("f:", "F", learned.findings, 2.0),
        ("f@", "R", learned.regions, 2.5),
        ("f/", "side", codes.SIDES, 1.5),
        ("f=", "stat", statuses, 1.5),
        ("k:", "K", learned.care, 2.0),
        ("k=", "kst", codes.CARE_STATUSES, 1.5),
        ("left:", "X", codes.LEFT_OUT, 1.0),
    )
    found = [
        (learned.heads[head][0] + known.index(hint.removeprefix(begins)), trust)
        for begins, head, known, trust in listed
        if hint.startswith(begins) and hint.removeprefix(begins) in known
    ]
    if hint == "blanket":
        found.append((learned.heads["B"][0], 2.0))
    if hint == "name":
        found.append((learned.heads["M"][0] + 1, 1.0))
    return found

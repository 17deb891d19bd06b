"""What is told of another animal in an animal's history is contact, and no finding of its own."""

import re

from cavyround.engines.spoken.result import SaidFinding
from cavyround.facts.observation import Status

CONTACTS = {
    "ringworm": "contact_ringworm",
    "mites": "contact_mites_or_lice",
    "lice": "contact_mites_or_lice",
    "nits": "contact_mites_or_lice",
    "sneezing": "contact_airway",
    "coughing": "contact_airway",
    "abscess": "contact_abscess",
    "diarrhoea": "contact_diarrhoea",
}
# "Shared a hutch with a sow the vet has now swabbed positive": from here on it is the other one.
ANOTHER = re.compile(
    r"\b(with|beside|next to|alongside|opposite|near)\b[^.;,]{0,30}?"
    r"\b(sow|boar|pig|piggy|cavy|girl|boy|mate|cagemate|companion|friend|sister|brother|mother|mum"
    r"|one|ones|pup|neighbours?|others?|two|three|group|sows|boars|pigs)\b"
    r"|\b(her|his|the|its|their) (cage ?|pen ?|hutch ?)?"
    r"(mates?|cagemates?|companions?|friends?|sisters?|brothers?|mother|mum|neighbours?)\b",
    re.IGNORECASE,
)
OWN = re.compile(
    r"\b(he|she|it) (has|had|is|was|now|also)\b|\b(he's|she's|so has|as has)\b", re.IGNORECASE
)


def contact_in(one: SaidFinding, text: str) -> str:
    """The contact a finding of the history comes to; nothing where it is the animal's own."""
    event = CONTACTS.get(one.finding, "")
    if not event or one.status is Status.ABSENT:
        return ""
    start = max((span.start for span in one.spans), default=0)
    before = re.split(r"[.;]", text[:start])[-1]
    another = [found.end() for found in ANOTHER.finditer(before)]
    if not another or OWN.search(before[another[-1] :]):
        return ""
    return event

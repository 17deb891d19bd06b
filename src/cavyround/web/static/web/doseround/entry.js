// What is kept of one try at one dose, and what outlives another amount.

// The entry of one try: its own weight and amount, and what the phone showed when it was made.
export function entryOf(one, outcome, why, draft) {
  const drew = outcome !== "not_given";
  return {
    kind: "dose", course: one.course, number: one.number, outcome, why,
    weight_g: one.weight_g, weighed_at: one.weighed_at,
    amount: drew && one.drawn_amount ? one.drawn_amount : null, unit: drew && one.drawn_amount ? one.drawn_unit : "",
    lot: drew ? one.lot : null, syringe: one.syringe?.code ?? "", second: draft?.second ?? null,
    worked: { ...one.worked, drawn_up_at: draft?.drawn_at ?? null, second_at: draft?.second_at ?? null, second_tries: triesSaid(draft), vet_asked_at: draft?.asked_at ?? null },
  };
}

// That the vet was asked, and what a second person got, holds whatever the amount; that it was drawn up or
// checked does not.
export function lasting({ asked_at, second_tries } = {}) {
  return { ...(asked_at ? { asked_at } : {}), ...(second_tries?.length ? { second_tries } : {}) };
}

function triesSaid(draft) {
  return (draft?.second_tries ?? []).map(({ mark: _, ...one }) => one);
}

export function aboutOf(one) {
  return { id: one.key, animal: one.animal, course: one.course, number: one.number };
}

// A wash is made up, all else drawn up.
export function readied({ wash }, mark) { return wash ? `Made up: ${mark}` : `Drawn up to ${mark}`; }
export function readyAct({ wash }) { return wash ? "Made up" : "Drawn up"; }

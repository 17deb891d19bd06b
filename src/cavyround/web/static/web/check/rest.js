// What comes up in place of what was touched rests a moment: the second half of a double touch was meant
// for what stood there before, and must keep, drop or add nothing.
// The two taps of a stuttering thumb lie 60 to 300 ms apart; who means the second one takes longer.
const AFTER_TOUCH_MS = 350;
// Nobody sees a new screen and answers it in less: what is touched sooner is the old one.
const AFTER_CHANGE_MS = 200;

export class Rest {
  constructor(root) {
    this.root = root;
    this.touched = -Infinity;
    this.timer = 0;
    root.addEventListener("click", (event) => this.#click(event), true);
    root.addEventListener("keydown", held, true);
  }

  // The screen has changed. While it rests nothing on it can be hit; a pad that does not change does not rest.
  begin() {
    const now = performance.now();
    const until = Math.max(this.touched + AFTER_TOUCH_MS, now + AFTER_CHANGE_MS);
    this.root.dataset.resting = "yes";
    clearTimeout(this.timer);
    this.timer = setTimeout(() => delete this.root.dataset.resting, until - now);
  }

  #click(event) {
    if (this.root.dataset.resting) {
      event.preventDefault();
      event.stopImmediatePropagation();
    } else this.touched = performance.now();
  }
}

// A key that is held down touches once.
function held(event) {
  if (event.repeat && event.key === "Enter" && !event.target.matches("input, textarea")) event.preventDefault();
}

// Advice that could not be had at the table: asked for once all is sent, and told wherever one is then.
const KEY = "cavyround-waiting-for-advice";

export class Later {
  constructor(app) {
    this.app = app;
    this.news = [];
    this.asking = false;
    this.checks = new Map();
    try { this.checks = new Map(JSON.parse(localStorage.getItem(KEY) ?? "[]")); } catch { /* then for this visit */ }
  }

  wait(check, name) {
    this.checks.set(check, name);
    this.keep();
  }

  // Called whenever something was sent.
  async ask() {
    const { sender, addresses } = this.app;
    if (this.asking || !this.checks.size || sender.unsent || sender.state !== "idle") return;
    this.asking = true;
    try {
      for (const [check, name] of [...this.checks]) {
        const answer = await sender.post(addresses.advise.replace(addresses.blank, check), {});
        if (!answer?.address) return;
        this.checks.delete(check);
        this.keep();
        this.news.push({ name, address: answer.address, words: answer.urgency });
        this.app.frame.bar();
        this.app.frame.say(`${name}: ${answer.urgency}`);
      }
    } finally {
      this.asking = false;
    }
  }

  keep() {
    try { localStorage.setItem(KEY, JSON.stringify([...this.checks])); } catch { /* then for this visit */ }
  }
}

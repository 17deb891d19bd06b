// The way over Web Serial: a bench scale on a cable that sends lines of text.
import { Lines, decodeLine } from "./lines.js";
import { hex } from "./units.js";

export const SPEEDS = [9600, 1200, 2400, 4800, 19200, 38400, 57600, 115200];
// Data bits and parity as they stand in a scale's menu.
export const FRAMES = { "8N1": [8, "none"], "7E1": [7, "even"], "7O1": [7, "odd"], "8E1": [8, "even"] };

export const serial = {
  code: "serial", words: "serial cable", source: "scale on a cable", finished: false,
  offered: () => Boolean(navigator.serial?.requestPort),
  async connect(tell, options) {
    return attach(await navigator.serial.requestPort(), tell, options);
  },
  async again(tell, options) {
    const known = await navigator.serial.getPorts();
    return known.length === 1 ? attach(known[0], tell, options) : null;
  },
};

async function attach(port, tell, { speed = SPEEDS[0], frame = "8N1" } = {}) {
  const [dataBits, parity] = FRAMES[frame] ?? FRAMES["8N1"];
  const link = { name: `scale on a cable, ${speed} ${frame}`, closed: false };
  const left = () => !link.closed && tell.lost("The cable was pulled out. Plug it in again.");
  const came = async () => {
    try {
      await link.open();
      tell.back();
    } catch { tell.gone("The cable is back but does not open. Touch “Connect again”."); }
  };
  link.open = async () => {
    if (!port.readable) await port.open({ baudRate: Number(speed), dataBits, parity, stopBits: 1 });
    listen(port, link, tell);
  };
  link.close = async () => {
    link.closed = true;
    port.removeEventListener("disconnect", left);
    port.removeEventListener("connect", came);
    await link.reader?.cancel().catch(() => { /* it ended by itself */ });
    await port.close().catch(() => { /* it is gone already */ });
  };
  await link.open();
  port.addEventListener("disconnect", left);
  port.addEventListener("connect", came);
  return link;
}

// Reads until the port is closed. A fault on the wire (wrong parity, too slow) ends one stream and the port
// gives another; what was half read is thrown away.
async function listen(port, link, tell) {
  while (port.readable && !link.closed) {
    const lines = new Lines();
    const reader = port.readable.getReader();
    link.reader = reader;
    try {
      for (;;) {
        const { value, done } = await reader.read();
        if (done) return;
        for (const line of lines.take(value)) tell.read(decodeLine(line, tell.now()), line ? shown(line) : "no line end");
      }
    } catch (fault) {
      tell.refused(`The cable garbles what comes (${fault.name}): perhaps another speed or parity is set on the scale.`, fault.name);
    } finally {
      reader.releaseLock();
    }
  }
}

function shown(line) {
  const plain = line.every((one) => one >= 32 && one <= 126);
  return plain ? `“${String.fromCharCode(...line)}”` : hex(line);
}

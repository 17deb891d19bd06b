// The way over WebHID: a USB scale that describes itself as a weighing device.
import { PAGE, decodeReport, layoutOf } from "./hid_scale.js";
import { hex } from "./units.js";

export const usb = {
  code: "usb", words: "USB", source: "USB scale", finished: false,
  offered: () => Boolean(navigator.hid?.requestDevice),
  async connect(tell) {
    const [device] = await navigator.hid.requestDevice({ filters: [{ usagePage: PAGE }] });
    if (!device) throw new DOMException("nothing chosen", "NotFoundError");
    return attach(device, tell);
  },
  // One that was allowed before may be opened without asking.
  async again(tell) {
    const known = (await navigator.hid.getDevices()).filter(weighs);
    return known.length === 1 ? attach(known[0], tell) : null;
  },
};

const weighs = (device) => device.collections.some((one) => one.usagePage === PAGE);

async function attach(device, tell) {
  const layout = layoutOf(device.collections);
  const link = { name: device.productName || "USB scale" };
  const heard = ({ reportId, data }) => {
    const bytes = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
    const found = decodeReport(layout, reportId, bytes, tell.now());
    if (found) tell.read(found, `report ${reportId}: ${hex(bytes)}`);
    else tell.packet(`report ${reportId}: ${hex(bytes)}`, "no weight");
  };
  const left = (event) => event.device === device && tell.lost("The scale was pulled out. Plug it in again.");
  const came = async (event) => {
    if (event.device !== device) return;
    try {
      await link.open();
      tell.back();
    } catch { tell.gone("The scale is plugged in but does not open. Touch “Connect again”."); }
  };
  link.open = async () => { if (!device.opened) await device.open(); };
  link.close = () => {
    device.removeEventListener("inputreport", heard);
    navigator.hid.removeEventListener("disconnect", left);
    navigator.hid.removeEventListener("connect", came);
    device.close().catch(() => { /* it is gone already */ });
  };
  await link.open();
  if (!layout.told) tell.packet("description", "the scale does not say where its weight stands: the usual order is taken");
  device.addEventListener("inputreport", heard);
  navigator.hid.addEventListener("disconnect", left);
  navigator.hid.addEventListener("connect", came);
  return link;
}

// The way over Web Bluetooth: a scale with the standard's Weight Scale Service.
import { FEATURE, MEASUREMENT, SERVICE, decodeFeature, decodeMeasurement } from "./bluetooth_weight.js";
import { hex } from "./units.js";

const TRIES_S = [1, 2, 4, 8, 15, 15, 15, 30, 30];

export const bluetooth = {
  code: "bluetooth", words: "Bluetooth", source: "Bluetooth scale",
  finished: true, // the service sends what was weighed, not what is being weighed
  offered: () => Boolean(navigator.bluetooth?.requestDevice),
  async connect(tell) {
    const device = await navigator.bluetooth.requestDevice({ filters: [{ services: [SERVICE] }] });
    return attach(device, tell);
  },
  // A page that was loaded anew must be allowed its scale again by a touch: browsers keep no list of these.
  async again() { return null; },
};

async function attach(device, tell) {
  const link = { name: device.name || "Bluetooth scale", closed: false };
  const heard = ({ target }) => told(target.value, tell, link.feature);
  const open = async () => {
    const server = await device.gatt.connect();
    const service = await server.getPrimaryService(SERVICE);
    link.feature = await featureOf(service, tell);
    link.weight = await service.getCharacteristic(MEASUREMENT);
    link.weight.addEventListener("characteristicvaluechanged", heard);
    await link.weight.startNotifications();
  };
  const gone = async () => {
    if (link.closed) return;
    tell.lost("The scale is out of reach or has gone to sleep. It is looked for.");
    for (const seconds of TRIES_S) {
      await new Promise((done) => { setTimeout(done, seconds * 1000); });
      if (link.closed) return;
      try {
        link.weight?.removeEventListener("characteristicvaluechanged", heard);
        await open();
        tell.back();
        return;
      } catch { /* not yet: the next try waits longer */ }
    }
    if (!link.closed) tell.gone("The scale was not found again. Wake it and touch “Connect again”.");
  };
  device.addEventListener("gattserverdisconnected", gone);
  link.close = () => {
    link.closed = true;
    device.removeEventListener("gattserverdisconnected", gone);
    link.weight?.removeEventListener("characteristicvaluechanged", heard);
    device.gatt.disconnect();
  };
  link.open = open;
  try {
    await open();
  } catch (fault) {
    link.close();
    throw fault;
  }
  return link;
}

async function featureOf(service, tell) {
  try {
    const value = bytesOf(await (await service.getCharacteristic(FEATURE)).readValue());
    const feature = decodeFeature(value);
    tell.packet(`2A9E: ${hex(value)}`, feature.why ?? (feature.steps ? `steps of ${feature.steps[0]} kg or ${feature.steps[1]} lb` : "says nothing of its steps"));
    return feature.why ? null : feature;
  } catch { return null; /* a scale may leave it out */ }
}

function told(value, tell, feature) {
  const bytes = bytesOf(value);
  tell.read(decodeMeasurement(bytes, tell.now(), feature), `2A9D: ${hex(bytes)}`);
}

const bytesOf = (view) => new Uint8Array(view.buffer, view.byteOffset, view.byteLength);

"""What the phone does with the server's answers: nothing is lost, and nothing stops the rest."""

from tests.web.client import say


def test_a_photo_that_breaks_something_stops_no_other() -> None:
    said = say(
        """
        const { Sender } = await use("sending");
        const { WAITING } = await use("store");
        const photo = { state: WAITING, file: new Blob(["x"]), name: "x.jpg" };
        const photos = new Map(["bad", "good"].map((id) => [id, { ...photo, id }]));
        const store = {
          touchesThatAre: async () => [],
          photosThatAre: async (state) => [...photos.values()].filter((one) => one.state === state),
          dropPhoto: async (id) => { photos.delete(id); },
        };
        globalThis.fetch = async (address, { body }) => {
          const ok = body.get("id") === "good";
          return { ok, status: ok ? 200 : 500, json: async () => ({}) };
        };
        const sender = new Sender(store, { touches: "touches", photos: "photos" }, () => {});
        await sender.now();
        while (sender.sendingPhotos) await new Promise((done) => setTimeout(done, 1));
        clearTimeout(sender.timer);
        return { left: [...photos.keys()], state: sender.state };
        """
    )
    assert said == {"left": ["bad"], "state": "offline"}

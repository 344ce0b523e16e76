"use strict";
// What was felt or heard, and the codes that are set.
const ComplaintScreen = (() => {
  const FELT = ["down_on_power", "rough_idle", "whistle", "stalls", "black_smoke", "uses_fuel", "knocks", "fuel_smell", "lamp", "oil_smell", "high_idle", "jerks"];
  const SIZE = 900; // longest side of a kept photo, px
  let adding = false;
  const toggle = (list, word) => (list.includes(word) ? list.filter((one) => one !== word) : [...list, word]);
  const title = (code) => Units.catalogue.codes.find((one) => one.code === code)?.title ?? "";
  /** A photo, scaled, as it goes into the record and nowhere else. */
  const photo = async (file) => {
    const image = await createImageBitmap(file);
    const scale = Math.min(1, SIZE / Math.max(image.width, image.height));
    const canvas = Object.assign(document.createElement("canvas"), { width: Math.round(image.width * scale), height: Math.round(image.height * scale) });
    canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
    return canvas.toDataURL("image/jpeg", 0.7);
  };
  const photos = (job) => {
    const box = h("div", { class: "photos" });
    for (const name of job.photos) Big.get(job.id, name).then((data) => data && box.append(h("img", { src: data, alt: say("photo") })));
    return [box, button(say("add photo"), async () => {
      const [file] = await JobsScreen.pick(h("input", { type: "file", accept: "image/*", capture: "environment" }));
      if (!file) return;
      try {
        const name = `photo-${job.photos.length + 1}-${Date.now()}`;
        await Big.put(job.id, name, await photo(file));
        App.change((now) => { now.photos.push(name); });
      } catch { JobsScreen.trouble(say("no photo")); }
    }, { kind: "soft" })];
  };
  const draw = (job) => ({
    says: say("tap felt"),
    right: [
      h("div", { class: "chips", role: "group", "aria-label": say("complaint") }, FELT.map((word) => button(label("felt", word), () => App.change((now) => { now.complaint = toggle(now.complaint, word); }), { kind: job.complaint.includes(word) ? "" : "soft", on: job.complaint.includes(word) }))),
      h("h2", { class: "head" }, say("codes")),
      h("ul", { class: "pick" }, job.codes.map((code) => h("li", { class: "on" }, h("span", {}, h("b", {}, code), ` ${title(code)}`, h("br"), h("span", { class: "quiet" }, say("paraphrased"))), button("", () => App.change((now) => { now.codes = now.codes.filter((one) => one !== code); }), { kind: "small", icon: "cross", named: say("take out", code) })))),
      adding && h("ul", { class: "pick codes" }, Units.catalogue.codes.filter(({ code }) => !job.codes.includes(code)).map(({ code, title: words }) => h("li", {}, h("button", { type: "button", class: "open", onclick: () => { App.change((now) => { now.codes = [...now.codes, code]; now.codesRead = true; }); } }, h("span", {}, h("b", {}, code), ` ${words}`))))),
      h("div", { class: "wrap" }, button(adding ? say("close codes") : say("add code"), () => { adding = !adding; App.draw(); }, { kind: "soft", focus: "add-code" }),
        !job.codes.length && button(say("no codes"), () => App.change((now) => { now.codesRead = !now.codesRead; }), { kind: job.codesRead ? "" : "soft", on: job.codesRead })),
      h("p", { class: "quiet" }, job.codesRead || job.codes.length ? say("codes read") : say("codes unread")),
      h("h2", { class: "head" }, h("label", { for: "note" }, say("note"))),
      h("textarea", { id: "note", "data-focus": "note", rows: "2", value: job.note, oninput: (event) => App.type((now) => { now.note = event.target.value; }) }),
      photos(job),
    ],
    act: [button(say("to readings"), () => App.go("readings"), { kind: "main", icon: "next", focus: "main" })],
  });
  return { draw };
})();

"""The script of a sealed pack's page: answers kept in the browser, rows added and removed, and the file to return."""

SCRIPT = """
const about = JSON.parse(document.getElementById("about").textContent);
const kept = "answers-" + about.quiz;
const state = JSON.parse(localStorage.getItem(kept) || "{}");
state.sitting = state.sitting || crypto.getRandomValues(new Uint8Array(16)).reduce(
  (text, byte) => text + byte.toString(16).padStart(2, "0"), "");
state.begun_at = state.begun_at || new Date().toISOString();
state.answers = state.answers || {};
const name = document.getElementById("name");
name.value = state.name || "";
const keep = () => localStorage.setItem(kept, JSON.stringify(state));

// Numbers are written 1000 here and 1000.0 there: options are told by what they mean.
const isSame = (option, value) => option.value !== "" && JSON.parse(option.value) === value;

// Each kind of field is set up from what is kept of it; it returns what its answer is now (undefined: none yet).
const kinds = {
  options(box, known, say) {
    const radios = [...box.querySelectorAll("input")];
    for (const one of radios) {
      one.checked = isSame(one, known);
      one.addEventListener("change", () => say(JSON.parse(one.value)));
    }
    return () => {
      const said = radios.find(one => one.checked);
      return said && JSON.parse(said.value);
    };
  },
  number(box, known, say) {
    const input = box.querySelector("input");
    input.value = known === undefined ? "" : known;
    input.addEventListener("input", () => say(input.value));
    return () => input.value !== "" && input.checkValidity() ? Number(input.value) : undefined;
  },
  list(box, known, say) {
    const rows = box.querySelector(".rows"), none = box.querySelector(".none"), add = box.querySelector(".add");
    const filled = row => Object.fromEntries([...row.querySelectorAll("select")].filter(one => one.value)
      .map(one => [one.dataset.key, JSON.parse(one.value)]));
    const all = () => [...rows.children].map(filled);
    const columns = box.querySelector("template").content.querySelectorAll("select").length;
    const isWhole = row => Object.keys(row).length === columns;
    const show = () => {
      rows.hidden = none.checked;
      add.disabled = none.checked || rows.children.length >= Number(box.dataset.most);
      [...rows.children].forEach((row, place) => {
        for (const one of row.querySelectorAll("select"))
          one.setAttribute("aria-label", one.options[0].text.replace(" …", "") + ", row " + (place + 1));
        row.querySelector(".remove").setAttribute("aria-label", "Remove row " + (place + 1));
      });
    };
    const changed = () => { show(); say({rows: all(), none: none.checked}); };
    const addRow = values => {
      rows.append(box.querySelector("template").content.cloneNode(true));
      const row = rows.lastElementChild;
      for (const one of row.querySelectorAll("select")) {
        one.selectedIndex = Math.max(0, [...one.options].findIndex(option => isSame(option, values[one.dataset.key])));
        one.addEventListener("change", changed);
      }
      row.querySelector(".remove").addEventListener("click", () => { row.remove(); changed(); add.focus(); });
      return row;
    };
    const before = known || {rows: [], none: false};
    before.rows.forEach(addRow);
    none.checked = before.none;
    none.addEventListener("change", changed);
    add.addEventListener("click", () => { const row = addRow({}); changed(); row.querySelector("select").focus(); });
    show();
    box.unfinished = () => !none.checked && all().some(row => !isWhole(row));
    return () => {
      const whole = all().filter(isWhole);
      return none.checked ? [] : whole.length ? whole : undefined;
    };
  },
};
const fields = [...document.querySelectorAll("fieldset")].map(box => {
  const {kind, item, field} = box.dataset;
  const say = value => {
    state.answers[item] = Object.assign(state.answers[item] || {}, {[field]: value});
    keep(); left();
  };
  return {box, item, field, answer: kinds[kind](box, (state.answers[item] || {})[field], say)};
});
const left = () => {
  const open = new Set(fields.filter(one => one.answer() === undefined).map(one => one.item));
  const begun = new Set(fields.filter(one => one.box.unfinished && one.box.unfinished()).map(one => one.item));
  document.getElementById("left").textContent = (about.count - open.size) + " of " + about.count + " answered." +
    (begun.size ? " A row that is not filled in does not count: item " + [...begun].join(", ") + "." : "");
};
name.addEventListener("input", () => { state.name = name.value; keep(); });
const sounds = [...document.querySelectorAll("audio")];
let loudness = 0.1;
for (const sound of sounds) {
  sound.volume = loudness;
  sound.addEventListener("play", () => {
    for (const other of sounds) if (other !== sound) other.pause();
    sound.volume = loudness;
  });
  sound.addEventListener("volumechange", () => { loudness = sound.volume; });
}
document.getElementById("save").addEventListener("click", () => {
  if (!name.value.trim()) { name.focus(); return; }
  const said = {};
  for (const {item, field, answer} of fields)
    if (answer() !== undefined) said[item] = Object.assign(said[item] || {}, {[field]: answer()});
  const answers = {kind: about.kind, quiz: about.quiz, sitting: state.sitting, learner: name.value.trim(),
    begun_at: state.begun_at, saved_at: new Date().toISOString(), answers: said};
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(answers, null, 1)], {type: "application/json"}));
  link.download = "answers.json";
  link.click();
});
keep(); left();
"""

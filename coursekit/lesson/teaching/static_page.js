"use strict";
const data = JSON.parse(document.getElementById("data").textContent);

document.querySelectorAll("section.bench").forEach((section, number) => {
  const bench = data.benches[number];
  const sliders = [...section.querySelectorAll("input[type=range]")];
  const show = () => {
    section.querySelector(".picture").innerHTML = bench.shown[sliders.map(slider => slider.value).join("/")];
    sliders.forEach((slider, which) => {
      const words = bench.words[which][slider.value];
      slider.setAttribute("aria-valuetext", words);
      slider.parentElement.querySelector("output").textContent = words;
    });
  };
  sliders.forEach(slider => slider.addEventListener("input", show));
  show();
});

// As the course reads: halves to sixty-fourths of what is measured so, then a number and its unit.
const fraction = new RegExp("^" + data.fraction, "s"), plain = new RegExp(data.number, "s");
const withDecimals = text => {
  const match = text.match(fraction);
  if (!match || Number(match[2]) >= Number(match[3])) return text;
  return Number(match[1] || 0) + match[2] / match[3] + " " + match[4];
};

// A number and its unit, as a person types it; null when it is none.
const read = (text, units) => {
  const match = withDecimals(text.trim().replace(/\u2212/g, "-")).match(plain);
  if (!match) return null;
  const unit = match[2].trim().replace(/\u03bc/g, "\u00b5").split(/\s+/).join(" ");
  return {unit: Object.hasOwn(units, unit) ? units[unit] : null, number: Number(match[1])};
};

const judge = (task, text) => {
  if (!text.trim()) return [false, "Write your answer first."];
  if (task.choice !== undefined) {
    if (text === task.choice) return [true, ""];
    return [false, "Not yet. " + (task.slips[text] || "Take a hint, or try it on the bench.")];
  }
  const found = read(text, task.units);
  if (!found) return [false, "Not yet: write a number" + ("" in task.units ? "." : " and its unit.")];
  if (!found.unit) return [false, "Not yet: the unit is missing, or it is not one of this quantity."];
  const value = found.number * found.unit[0] + found.unit[1];
  if (Math.abs(value - task.answer) <= task.room) return [true, ""];
  const slip = task.slips.find(([wrong, room]) => Math.abs(value - wrong) <= room);
  if (slip) return [false, "Not yet. " + slip[2]];
  return [false, "Not yet: it is too " + (value > task.answer ? "large" : "small") + ". Take a hint, or try it on the bench."];
};

document.querySelectorAll("form.exercise").forEach(form => {
  const task = data.exercises[Number(form.dataset.exercise)];
  const said = form.querySelector(".said");
  let hints = 0;
  const say = (passed, words) => {
    said.className = "said " + (passed ? "passed" : "failed");
    said.textContent = words;
  };
  const check = () => {
    const field = form.querySelector("input[type=text]") || form.querySelector("input:checked");
    const [passed, words] = judge(task, field ? field.value : "");
    say(passed, passed ? "This check passed: " + task.passed + ". How it goes: " + task.way : words);
  };
  form.addEventListener("submit", event => { event.preventDefault(); check(); });
  form.querySelector("[data-do=check]").addEventListener("click", check);
  form.querySelector("[data-do=hint]").addEventListener("click", () => {
    if (hints < task.hints.length) { hints += 1; say(false, "Hint " + hints + " of " + task.hints.length + ": " + task.hints[hints - 1]); }
    else say(false, "That was the last hint.");
  });
});

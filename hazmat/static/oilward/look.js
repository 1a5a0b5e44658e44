/* Look: shows one step at a time and leaves out what does not belong to the kind that is picked.
   Without it the page is the same form with all its questions; nothing is answered or sent here. */
(function () {
  "use strict";
  var form = document.getElementById("look");
  if (!form) { return; }
  var steps = [].slice.call(form.querySelectorAll("fieldset.step"));
  var asks = [].slice.call(form.querySelectorAll(".ask"));
  var at = 0;

  function make(tag, name, text) {
    var made = document.createElement(tag);
    made.className = name;
    made.textContent = text || "";
    return made;
  }

  /* ---- what is answered ---- */

  function values(name) {
    return [].slice.call(form.querySelectorAll("[name='" + name + "']")).filter(function (box) {
      return (box.type !== "radio" && box.type !== "checkbox") || box.checked;
    }).map(function (box) { return box.type === "checkbox" && !box.hasAttribute("value") ? "on" : box.value; });
  }

  function holds(condition) {
    var not = condition.indexOf("!=") > 0;
    var parts = condition.split(not ? "!=" : "=");
    var told = values(parts[0]);
    if (parts[1] === "*") { return told.some(function (one) { return one.trim() !== ""; }); }
    var met = told.some(function (one) { return parts[1].split("|").indexOf(one) >= 0; });
    return not ? !met : met;
  }

  function answered(part) {
    return [].slice.call(part.querySelectorAll("input, select, textarea")).some(function (box) {
      if (box.closest(".sources") && !part.classList.contains("sources")) { return false; }
      if (box.type === "radio") { return box.checked && ["unknown", "unasked", "gate", ""].indexOf(box.value) < 0; }
      if (box.type === "checkbox") { return box.checked; }
      return ["", "unknown"].indexOf(box.value.trim()) < 0 && !box.hasAttribute("data-countries");
    });
  }

  function wrong(part) { return part.querySelector(".error") !== null; }

  function sift() {
    var kind = values("kind")[0] || "";
    asks.forEach(function (ask) {
      var kinds = ask.getAttribute("data-kinds");
      var when = ask.getAttribute("data-when");
      var fits = !kinds || !kind || kinds.split(" ").indexOf(kind) >= 0;
      var asked = !when || when.split(" ").some(holds);
      ask.hidden = !((fits && asked) || answered(ask) || wrong(ask));
      var sources = ask.querySelector(".sources");
      if (sources) {
        sources.hidden = !(answered(ask) || answered(sources) || wrong(sources) || !ask.querySelector(".field:not(.sources .field)"));
      }
    });
  }

  /* ---- one step at a time ---- */

  var progress = make("p", "progress");
  var walk = make("div", "walk");
  var back = make("button", "back", "Back");
  var next = make("button", "next", "Next");
  var save = form.querySelector(".save");
  back.type = next.type = "button";
  progress.setAttribute("role", "status");
  walk.appendChild(back);
  walk.appendChild(next);
  var caution = document.getElementById("caution");
  steps[0].parentNode.insertBefore(progress, steps[0]);
  save.parentNode.insertBefore(walk, save);

  function show(place, quietly) {
    at = Math.max(0, Math.min(steps.length - 1, place));
    steps.forEach(function (step, n) { step.hidden = n !== at; });
    progress.textContent = (at + 1) + " of " + steps.length;
    back.hidden = at === 0;
    next.hidden = at === steps.length - 1;
    form.classList.toggle("at-end", next.hidden);
    form.parentNode.insertBefore(caution, at === 0 ? form : form.nextSibling);
    if (!quietly) {
      var legend = steps[at].querySelector("legend");
      legend.tabIndex = -1;
      legend.focus({ preventScroll: true });
      progress.scrollIntoView();
    }
  }

  function stepOf(part) { return steps.indexOf(part.closest("fieldset.step")); }

  function open(target) {
    var fold = target.closest("details");
    if (fold) { fold.open = true; }
    if (stepOf(target) >= 0) { show(stepOf(target), true); }
    target.scrollIntoView();
    var box = target.querySelector("input, select, textarea");
    if (box) { box.focus({ preventScroll: true }); }
  }

  back.addEventListener("click", function () { show(at - 1); });
  next.addEventListener("click", function () { show(at + 1); });
  form.addEventListener("change", sift);
  form.addEventListener("input", sift);
  document.addEventListener("click", function (event) {
    var link = event.target.closest ? event.target.closest("a[href^='#div_']") : null;
    var target = link && document.getElementById(link.getAttribute("href").slice(1));
    if (target && form.contains(target)) {
      event.preventDefault();
      open(target);
    }
  });
  form.addEventListener("keydown", function (event) {
    if (event.key === "Enter" && event.target.tagName === "INPUT" && at < steps.length - 1) {
      event.preventDefault();
      show(at + 1);
    }
  });

  /* ---- small help ---- */

  [].forEach.call(form.querySelectorAll("input[type='file']"), function (box) {
    var chosen = make("p", "chosen");
    chosen.setAttribute("role", "status");
    box.parentNode.appendChild(chosen);
    box.addEventListener("change", function () {
      var many = box.files.length;
      chosen.textContent = many ? many + (many === 1 ? " picture" : " pictures") + " chosen" : "";
    });
  });

  [].forEach.call(form.querySelectorAll("input[type='date'][max]"), function (box) {
    var today = make("button", "today", "Today");
    today.type = "button";
    box.parentNode.appendChild(today);
    today.addEventListener("click", function () { box.value = box.max; sift(); });
  });

  form.classList.add("one-by-one");
  sift();
  var first = form.querySelector(".is-wrong");
  show(first ? stepOf(first) : 0, true);
}());

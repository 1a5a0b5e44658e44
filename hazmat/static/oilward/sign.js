/* A pad to draw a name on, with a finger, a pen or a mouse. Without it the same form takes ink with a photograph, or a
   typed name with a tick; nothing is sent from here. */
(function () {
  "use strict";
  var form = document.getElementById("sign");
  var box = form && form.querySelector("input[name='drawing']");
  var pictures = form && form.querySelector("#div_id_pictures");
  var tick = form && form.querySelector("#div_id_tick");
  if (!box || !pictures || !tick) { return; }

  var part = document.createElement("div");
  var label = document.createElement("p");
  var pad = document.createElement("canvas");
  var again = document.createElement("button");
  part.className = "padded";
  label.textContent = "Draw the name in this box. Whoever cannot draw takes a typed name instead.";
  label.id = "pad_label";
  pad.className = "pad";
  pad.width = 900;
  pad.height = 300;
  pad.setAttribute("role", "img");
  pad.setAttribute("aria-labelledby", "pad_label");
  again.type = "button";
  again.textContent = "Draw it again";
  part.appendChild(label);
  part.appendChild(pad);
  part.appendChild(again);
  pictures.parentNode.insertBefore(part, tick);

  var pen = pad.getContext("2d");
  var drawing = false;

  function blank() {
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, pad.width, pad.height);
    pen.strokeStyle = pen.fillStyle = "#000";
    pen.lineWidth = 5;
    pen.lineCap = pen.lineJoin = "round";
    box.value = "";
  }

  function at(event) {
    var edge = pad.getBoundingClientRect();
    return [(event.clientX - edge.left) * pad.width / edge.width, (event.clientY - edge.top) * pad.height / edge.height];
  }

  pad.addEventListener("pointerdown", function (event) {
    var place = at(event);
    drawing = true;
    pad.setPointerCapture(event.pointerId);
    pen.beginPath();
    pen.arc(place[0], place[1], 2.5, 0, 7);
    pen.fill();
    pen.beginPath();
    pen.moveTo(place[0], place[1]);
    event.preventDefault();
  });
  pad.addEventListener("pointermove", function (event) {
    if (!drawing) { return; }
    var place = at(event);
    pen.lineTo(place[0], place[1]);
    pen.stroke();
  });
  ["pointerup", "pointercancel"].forEach(function (name) {
    pad.addEventListener(name, function () {
      if (drawing) { box.value = pad.toDataURL("image/png"); }
      drawing = false;
    });
  });
  again.addEventListener("click", blank);

  function sift() {
    var picked = form.querySelector("input[name='inked']:checked");
    var how = picked ? picked.value : "";
    pictures.hidden = how !== "ink" && !pictures.querySelector(".error");
    part.hidden = how !== "drawn";
    tick.hidden = how !== "typed" && !tick.querySelector(".error");
  }

  var kept = box.value;
  blank();
  if (kept.indexOf("data:image/png;base64,") === 0) {
    var picture = new Image();
    picture.onload = function () { pen.drawImage(picture, 0, 0); };
    picture.src = kept;
    box.value = kept;
  }
  form.addEventListener("change", sift);
  sift();
}());

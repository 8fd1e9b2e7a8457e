// What was taken of the hair, and what was left out, which is hatched.

import { el } from "./dom.js";

const HATCH_PX = 7;

const bit = (bytes, i) => (bytes.charCodeAt(i >> 3) >> (7 - (i & 7))) & 1;

// Draws the part of a picture that was looked at; `outline` is that of the hair, in its pixels.
export function drawTaken(canvas, bitmap, { box: [left, top, right, bottom], rows, columns, bits }, outline) {
  const [wide, high] = [right - left, bottom - top];
  const scale = Math.min((canvas.parentElement.clientWidth || 300) / wide, 220 / high) * devicePixelRatio;
  canvas.width = Math.round(wide * scale);
  canvas.height = Math.round(high * scale);
  canvas.style.width = `${canvas.width / devicePixelRatio}px`;
  const drawn = canvas.getContext("2d");
  drawn.drawImage(bitmap, left, top, wide, high, 0, 0, canvas.width, canvas.height);
  // One pixel of this is one place that was looked at.
  const bytes = atob(bits);
  const veil = new ImageData(columns, rows);
  for (let i = 0; i < rows * columns; i++) veil.data[4 * i + 3] = bit(bytes, i) ? 0 : 255;
  const small = el("canvas", { width: columns, height: rows });
  small.getContext("2d").putImageData(veil, 0, 0);
  const hatched = el("canvas", { width: canvas.width, height: canvas.height });
  const lines = hatched.getContext("2d");
  const step = HATCH_PX * devicePixelRatio;
  lines.fillStyle = "#777";
  lines.fillRect(0, 0, canvas.width, canvas.height);
  lines.strokeStyle = "#fff";
  lines.lineWidth = step / 4;
  lines.beginPath();
  for (let x = -canvas.height; x < canvas.width; x += step) {
    lines.moveTo(x, canvas.height);
    lines.lineTo(x + canvas.height, 0);
  }
  lines.stroke();
  lines.globalCompositeOperation = "destination-in";
  lines.imageSmoothingEnabled = false;
  lines.drawImage(small, 0, 0, canvas.width, canvas.height);
  drawn.strokeStyle = "#fff";
  drawn.lineWidth = 2 * devicePixelRatio;
  drawn.beginPath();
  for (const [x, y] of outline) drawn.lineTo((x - left) * scale, (y - top) * scale);
  drawn.closePath();
  drawn.save();
  drawn.clip();
  drawn.drawImage(hatched, 0, 0);
  drawn.restore();
  drawn.stroke();
}

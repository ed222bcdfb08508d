// @ts-check
/**
 * The camera, reading QR codes where the browser can do that by itself; where it can't, it says what to do instead.
 *
 * Usage: a part keeps one, draws `camera.draw(...)` in its own drawing, and stops it when it leaves the page.
 */

import { h } from "./view.js";

/** @typedef {{ detect: (from: HTMLVideoElement) => Promise<{ rawValue: string }[]> }} Detector */

const LOOKS_EVERY_MS = 200;

export class QrCamera {
  /** @type {MediaStream | null} */
  #stream = null;
  #trouble = "";
  #read;
  #changed;

  /** @param {(text: string) => void} read what a code says; the camera has stopped then @param {() => void} changed to draw anew */
  constructor(read, changed) {
    this.#read = read;
    this.#changed = changed;
  }

  /** @param {string} label of its button @param {string} seen */
  draw(label, seen) {
    const mayRead = "BarcodeDetector" in window && navigator.mediaDevices !== undefined;
    if (!mayRead) return h("p", null, "This browser can't read a QR by itself. Point a phone's own camera app at it, and paste the link here.");
    return [
      this.#stream === null
        ? h("button", { type: "button", onclick: () => void this.#look() }, label)
        : [
            h("video", { ".srcObject": this.#stream, ".muted": true, playsinline: true, autoplay: true, "aria-label": seen }),
            h("button", { type: "button", onclick: () => this.stop() }, "Stop the camera"),
          ],
      h("p", { role: "status" }, this.#trouble),
    ];
  }

  stop() {
    for (const track of this.#stream?.getTracks() ?? []) track.stop();
    this.#stream = null;
    this.#trouble = "";
    this.#changed();
  }

  async #look() {
    try {
      this.#stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
    } catch {
      this.#trouble = "The camera was not allowed, or there is none. Paste the link instead.";
      this.#changed();
      return;
    }
    this.#trouble = "Hold the QR in the picture.";
    this.#changed();
    const maker = /** @type {{ BarcodeDetector: new (of: object) => Detector }} */ (/** @type {unknown} */ (window));
    const detector = new maker.BarcodeDetector({ formats: ["qr_code"] });
    const next = async () => {
      const video = document.querySelector("video");
      if (this.#stream === null || video === null) return;
      const [code] = await detector.detect(video).catch(() => []);
      if (code !== undefined) {
        this.stop();
        this.#read(code.rawValue);
        return;
      }
      setTimeout(() => void next(), LOOKS_EVERY_MS);
    };
    await next();
  }
}

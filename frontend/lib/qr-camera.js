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
  #take;
  #changed;

  /**
   * @param {(text: string) => string | null} take what a code says; answers why it is not the one that is looked for
   * @param {() => void} changed to draw anew
   */
  constructor(take, changed) {
    this.#take = take;
    this.#changed = changed;
  }

  /** @param {string} label of its button */
  draw(label) {
    const mayRead = "BarcodeDetector" in window && navigator.mediaDevices !== undefined;
    if (!mayRead) return h("p", null, "This browser can't read a QR by itself. Point the phone's own camera app at it and open the link, or paste the link here.");
    return [
      this.#stream === null
        ? h("button", { type: "button", class: "main", onclick: () => void this.#look() }, label)
        : [
            h("video", { ".srcObject": this.#stream, ".muted": true, playsinline: true, autoplay: true, "aria-label": "What the camera sees" }),
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
      this.#trouble = "The camera was not allowed, or there is none. Use the phone's own camera app, or paste the link.";
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
      const codes = await detector.detect(video).catch(() => []);
      for (const { rawValue } of codes) {
        this.#trouble = this.#take(rawValue) ?? "";
        if (this.#trouble === "") return this.stop();
      }
      this.#changed();
      setTimeout(() => void next(), LOOKS_EVERY_MS);
    };
    await next();
  }
}

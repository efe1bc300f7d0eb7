// The picture of a bone from CT beside its numbers: fetched and built when a bone was found, with a legend in words.
import { html } from "./draw";
import type { BonePicture, BoneScene } from "./imagesbonepicture";
import type { BoneWish } from "./imageswire";
import { Latest } from "./latest";

export class BoneLook {
  readonly root = html("figure", { class: "bone-look", hidden: true });
  private picture: BonePicture | null = null;
  private readonly latest: Latest<BoneWish, BoneScene>;

  constructor(key: string) {
    this.latest = new Latest(`/api/cases/${key}/images/bone/scene`, "bone-scene", (scene) => void this.build(scene), (wrong) => this.say(wrong));
  }

  show(wish: BoneWish): void {
    this.latest.want(wish);
  }

  hide(): void {
    this.latest.stop();
    this.picture?.close();
    this.picture = null;
    this.root.hidden = true;
  }

  private async build(scene: BoneScene): Promise<void> {
    try {
      const { BonePicture } = await import("./imagesbonepicture");
      this.picture?.close();
      const holder = html("div", { class: "shoulder bone-picture" });
      this.root.replaceChildren(holder, html("figcaption", {}, ...legend(scene)));
      this.root.hidden = false;
      this.picture = new BonePicture(holder, scene);
    } catch (wrong) {
      this.say(wrong);
    }
  }

  private say(wrong: unknown): void {
    const none = wrong instanceof Error && wrong.message === "no WebGL";
    this.root.replaceChildren(html("p", { class: "note" }, none ? "This browser draws nothing in three dimensions (no WebGL); the circle on the slices is the same sphere." : wrong instanceof Error ? wrong.message : String(wrong)));
    this.root.hidden = false;
  }
}

function legend(scene: BoneScene): HTMLElement[] {
  const [left, behind, up] = scene.centre_sd.map((sd) => sd.toFixed(1));
  const parts: [string, string][] = [
    ["key-ball", "sphere of the head"], ["key-dots", "where its edge was seen"],
    ...(scene.axis ? [["key-rod", "axis of the shaft"] as [string, string]] : []),
    ...(scene.footprint ? [["key-foot", "footprint of the chart"] as [string, string]] : []),
  ];
  return [
    ...parts.map(([kind, words]) => html("span", { class: `bone-key ${kind}` }, words)),
    html("span", { class: "bone-doubt" }, `Centre, SD ${left} mm to the side, ${behind} mm to the front, ${up} mm up and down.`),
  ];
}

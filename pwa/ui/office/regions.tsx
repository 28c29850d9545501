// The donor regions: what they allow, and changing them.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Conflict, Fact, Ref, Region, View } from "../../bridge/protocol.gen";
import { AreaWays } from "../parts/area";
import { wholeNumber } from "../parts/dialog";
import type { Room } from "../parts/room";
import { count, say } from "../parts/say";
import { decimalsOf, readDecimal, writeDecimal } from "../parts/units";
import { KeepForm } from "./card";
import { Field, Tick } from "./field";
import { type Form, tell, useForm } from "./form";
import { conflictOf, NotChosen } from "./not-chosen";
import { PlanList } from "./plan-list";

type Name = "code" | "name" | "area" | "density" | "share" | "harvested" | "hairs" | "today";
type Values = Record<Name, string>;

const owners = {
  "region-code": "code",
  "region name": "name",
  area: "area",
  density: "density",
  share: "share",
  harvested: "harvested",
  "harvested-above": "harvested",
  "hairs per unit": "hairs",
} as const;
const ranges = {
  area: "office.range-area",
  density: "office.range-density",
  share: "office.range-percent",
  harvested: "office.range-harvested",
  hairs: "office.range-hairs",
} as const;
const empty: Values = { code: "", name: "", area: "", density: "", share: "", harvested: "", hairs: "", today: "" };

/** The fields of a region as it counts now. */
const valuesOf = (r: Region): Values => ({
  code: r.code,
  name: r.name,
  area: writeDecimal(r.areaMm2, decimalsOf.area),
  density: writeDecimal(r.density10, decimalsOf.density),
  share: writeDecimal(r.sharePerMille, decimalsOf.percent),
  harvested: r.harvested > 0 ? String(r.harvested) : "",
  hairs: r.hairsPerUnit100 > 0 ? writeDecimal(r.hairsPerUnit100, decimalsOf.hairs) : "",
  today: r.today ? "yes" : "",
});

/** The fact that the fields say, or what is wrong with them. */
function read(v: Values, was: Region | null): Fact | Partial<Values> {
  const wrong: Partial<Values> = {};
  const areaMm2 = readDecimal(v.area, decimalsOf.area);
  const density10 = readDecimal(v.density, decimalsOf.density);
  const sharePerMille = readDecimal(v.share, decimalsOf.percent);
  const harvested = v.harvested.trim() === "" ? 0 : wholeNumber(v.harvested);
  const hairsPerUnit100 = v.hairs.trim() === "" ? 0 : readDecimal(v.hairs, decimalsOf.hairs);
  if (hairsPerUnit100 === null) wrong.hairs = say("office.decimal-needed", { n: decimalsOf.hairs });
  if (v.name.trim() === "") wrong.name = say("office.name-needed");
  if (areaMm2 === null) wrong.area = say("office.decimal-needed", { n: decimalsOf.area });
  if (density10 === null) wrong.density = say("office.decimal-needed", { n: decimalsOf.density });
  if (sharePerMille === null) wrong.share = say("office.decimal-needed", { n: decimalsOf.percent });
  if (harvested === null) wrong.harvested = say("office.whole-needed");
  if (areaMm2 === null || density10 === null || sharePerMille === null || harvested === null || hairsPerUnit100 === null || wrong.name)
    return wrong;
  const code = v.code.trim().toUpperCase();
  return {
    kind: "region",
    ...(was ? { of: was.ref } : {}),
    hairsPerUnit100,
    code,
    name: v.name.trim(),
    areaMm2,
    density10,
    sharePerMille,
    harvested,
    today: v.today !== "",
  };
}

export function RegionsCard({ room, view }: { room: Room; view: View }): JSX.Element {
  const [open, setOpen] = useState<Ref | "new" | null>(null);
  const form = (region: Region | null): JSX.Element => (
    <RegionForm key={region?.ref ?? "new"} room={room} region={region} onLeave={() => setOpen(null)} />
  );
  return (
    <PlanList
      title={say("office.regions")}
      none={say("office.regions-none")}
      add={say("office.region-add")}
      open={open}
      onOpen={setOpen}
      form={form}
      of={view.regions}
    >
      {(r) => <RegionRow region={r} conflict={conflictOf(view, "region", r.ref)} />}
    </PlanList>
  );
}

function RegionRow({ region: r, conflict }: { region: Region; conflict: Conflict | undefined }): JSX.Element {
  return (
    <>
      <p>
        <b class="o-code">{r.code}</b> {r.name}
      </p>
      <p class="quiet">{say("office.region-line", { punched: r.punched, capacity: r.capacity })}</p>
      <p class={r.left < 0 ? "o-total o-past" : "o-total"}>
        <b>
          <bdi dir="ltr">{count(r.left)}</bdi>
        </b>{" "}
        <span class="quiet">{say("office.left")}</span>
      </p>
      <NotChosen of={conflict} />
    </>
  );
}

function RegionForm({ room, region, onLeave }: { room: Room; region: Region | null; onLeave: () => void }): JSX.Element {
  const form = useForm<Name>(region ? valuesOf(region) : empty);
  const keep = async (): Promise<void> => {
    const done = await form.run(async () => {
      const fact = read(form.values, region);
      return "kind" in fact ? tell<Name>(room, fact, owners, ranges) : fact;
    });
    if (done) onLeave();
  };
  return (
    <KeepForm
      keep={say(region ? "office.region-keep" : "office.region-add")}
      kept={false}
      busy={form.busy}
      error={form.errors.form}
      onKeep={() => void keep()}
      onLeave={onLeave}
    >
      <Fields room={room} form={form} />
    </KeepForm>
  );
}

function Fields({ room, form }: { room: Room; form: Form<Name> }): JSX.Element {
  const { values: v, errors: e } = form;
  return (
    <>
      <div class="o-row">
        <Field
          label={say("office.code")}
          hint={say("office.code-hint")}
          most={2}
          value={v.code}
          error={e.code}
          onInput={form.type("code")}
        />
        <Field label={say("office.name")} most={24} value={v.name} error={e.name} onInput={form.type("name")} />
      </div>
      <div class="o-row">
        <Field label={say("office.area")} numeric unit="cm²" value={v.area} error={e.area} onInput={form.type("area")} />
        <Field
          label={say("office.density")}
          numeric
          unit={say("office.per-cm2")}
          value={v.density}
          error={e.density}
          onInput={form.type("density")}
        />
      </div>
      <AreaWays room={room} onArea={form.type("area")} />
      <div class="o-row">
        <Field label={say("office.share")} numeric unit="%" value={v.share} error={e.share} onInput={form.type("share")} />
        <Field
          label={say("office.harvested")}
          numeric
          unit={say("office.grafts-unit")}
          value={v.harvested}
          error={e.harvested}
          onInput={form.type("harvested")}
        />
      </div>
      <Field
        label={say("office.hairs-per-unit")}
        hint={say("office.hairs-per-unit-hint")}
        numeric
        unit={say("office.hairs-unit")}
        value={v.hairs}
        error={e.hairs}
        onInput={form.type("hairs")}
      />
      <Tick
        label={say("office.today-density")}
        hint={say("office.today-hint")}
        on={v.today !== ""}
        onChange={(on) => form.type("today")(on ? "yes" : "")}
      />
    </>
  );
}

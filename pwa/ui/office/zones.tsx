// The recipient zones: what they need, and changing them.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Conflict, Fact, Ref, View, Zone } from "../../bridge/protocol.gen";
import { AreaWays } from "../parts/area";
import type { Room } from "../parts/room";
import { count, say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { decimalsOf, readDecimal, writeDecimal } from "../parts/units";
import { KeepForm } from "./card";
import { Field, Group } from "./field";
import { type Form, tell, useForm } from "./form";
import { conflictOf, NotChosen } from "./not-chosen";
import { PlanList } from "./plan-list";
import { DensityWanted } from "./wanted";

const mixes = ["mix1", "mix2", "mix3", "mix4"] as const;
type Name = "name" | "area" | "density" | (typeof mixes)[number] | "mix";
type Values = Record<Name, string>;

const owners = { "zone name": "name", area: "area", density: "density", "mix-sum": "mix" } as const;
const ranges = { area: "office.range-area", density: "office.range-density" } as const;
const empty: Values = { name: "", area: "", density: "", mix1: "", mix2: "", mix3: "", mix4: "", mix: "" };

function valuesOf(z: Zone): Values {
  const mix = (i: number): string => writeDecimal(z.mixPerMille[i] ?? 0, decimalsOf.percent);
  return {
    name: z.name,
    area: writeDecimal(z.areaMm2, decimalsOf.area),
    density: writeDecimal(z.density10, decimalsOf.density),
    mix1: mix(0),
    mix2: mix(1),
    mix3: mix(2),
    mix4: mix(3),
    mix: "",
  };
}

/** The fact that the fields say, or what is wrong with them. An empty share is none. */
function read(v: Values, of: Ref | null): Fact | Partial<Values> {
  const wrong: Partial<Values> = {};
  const areaMm2 = readDecimal(v.area, decimalsOf.area);
  const density10 = readDecimal(v.density, decimalsOf.density);
  const shares = mixes.map((m) => (v[m].trim() === "" ? 0 : readDecimal(v[m], decimalsOf.percent)));
  if (v.name.trim() === "") wrong.name = say("office.name-needed");
  if (areaMm2 === null) wrong.area = say("office.decimal-needed", { n: decimalsOf.area });
  if (density10 === null) wrong.density = say("office.decimal-needed", { n: decimalsOf.density });
  if (shares.includes(null)) wrong.mix = say("office.mix-needed");
  if (areaMm2 === null || density10 === null || Object.keys(wrong).length > 0) return wrong;
  return { kind: "zone", ...(of ? { of } : {}), name: v.name.trim(), areaMm2, density10, mixPerMille: shares.map((s) => s ?? 0) };
}

export function ZonesCard({ room, view }: { room: Room; view: View }): JSX.Element {
  const [open, setOpen] = useState<Ref | "new" | null>(null);
  const form = (zone: Zone | null): JSX.Element => (
    <ZoneForm key={zone?.ref ?? "new"} room={room} zone={zone} onLeave={() => setOpen(null)} />
  );
  return (
    <PlanList
      title={say("office.zones")}
      none={say("office.zones-none")}
      add={say("office.zone-add")}
      open={open}
      onOpen={setOpen}
      form={form}
      of={view.zones}
    >
      {(z) => <ZoneRow zone={z} conflict={conflictOf(view, "zone", z.ref)} />}
    </PlanList>
  );
}

function ZoneRow({ zone: z, conflict }: { zone: Zone; conflict: Conflict | undefined }): JSX.Element {
  return (
    <>
      <p>
        <b>{z.name}</b>{" "}
        <span class="quiet">
          {say("office.zone-line", {
            area: writeDecimal(z.areaMm2, decimalsOf.area),
            density: writeDecimal(z.density10, decimalsOf.density),
          })}
        </span>
      </p>
      <p class="mix quiet">
        {z.need.map((n, i) => (
          <span key={i}>
            <SizeGlyph size={i + 1} />
            <span class="off">{say(`office.hairs-${i + 1}` as Under<"office.hairs-">)}</span> {count(n)}
          </span>
        ))}
      </p>
      <p class="o-total">
        <b>{count(z.needTotal)}</b> <span class="quiet">{say("office.needed")}</span>
      </p>
      <NotChosen of={conflict} />
    </>
  );
}

function ZoneForm({ room, zone, onLeave }: { room: Room; zone: Zone | null; onLeave: () => void }): JSX.Element {
  const form = useForm<Name>(zone ? valuesOf(zone) : empty);
  const keep = async (): Promise<void> => {
    const done = await form.run(async () => {
      const fact = read(form.values, zone?.ref ?? null);
      return "kind" in fact ? tell<Name>(room, fact, owners, ranges) : fact;
    });
    if (done) onLeave();
  };
  return (
    <KeepForm
      keep={say(zone ? "office.zone-keep" : "office.zone-add")}
      kept={false}
      busy={form.busy}
      error={form.errors.form}
      onKeep={() => void keep()}
      onLeave={onLeave}
    >
      <Field label={say("office.name")} most={24} value={form.values.name} error={form.errors.name} onInput={form.type("name")} />
      <div class="o-row">
        <Field
          label={say("office.area")}
          numeric
          unit="cm²"
          value={form.values.area}
          error={form.errors.area}
          onInput={form.type("area")}
        />
        <Field
          label={say("office.density")}
          numeric
          unit={say("office.per-cm2")}
          value={form.values.density}
          error={form.errors.density}
          onInput={form.type("density")}
        />
      </div>
      <AreaWays room={room} onArea={form.type("area")} />
      <DensityWanted room={room} area={form.values.area} onDensity={form.type("density")} />
      <Mix form={form} />
    </KeepForm>
  );
}

function Mix({ form }: { form: Form<Name> }): JSX.Element {
  return (
    <Group label={say("office.mix")} error={form.errors.mix}>
      {mixes.map((m, i) => (
        <Field
          key={m}
          label={say(`office.hairs-${i + 1}` as Under<"office.hairs-">)}
          numeric
          unit="%"
          value={form.values[m]}
          onInput={(value) => {
            form.type(m)(value);
            form.type("mix")("");
          }}
        />
      ))}
    </Group>
  );
}

// Typed calls of a running service, with nothing but what the description says; prints one JSON line.
import type { components, paths } from "./api";

type Ride = paths["/v1/ride"]["post"];
type Body = Ride["requestBody"]["content"]["application/json"];
type Answer = Ride["responses"][200]["content"]["application/json"];
type Problem = components["schemas"]["Problem"];

const address: string = "BASE_ADDRESS";
const body: Body = RIDE_REQUEST;

async function posted(data: unknown): Promise<Response> {
  return fetch(`${address}/v1/ride`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(data),
  });
}

async function main(): Promise<void> {
  const good: Response = await posted(body);
  const answer = (await good.json()) as Answer;
  const frequency: number | null = answer.frequency_hz;
  const stop: string | null = answer.first_stop;

  const bad: Response = await posted({ ...body, temperature_c: "warm" });
  const problem = (await bad.json()) as Problem;
  const pointers: string[] = (problem.errors ?? []).map((fault) => fault.pointer);

  console.log(JSON.stringify({ status: good.status, frequency, stop, refused: problem.status, pointers }));
}

void main();

/** The phones that the computer behind this page lets in: a part that is fetched with the first note about them. */
import * as z from 'zod/mini';
import { err, ok, type Result } from '../../shared/core/result.ts';
import type { PhoneKeeper } from '../../shared/dialogue/types.ts';
import { endpoints, refusalSchema } from '../../shared/wire.ts';

const away = 'The computer that lets phones in cannot be reached from here. Say it again when it can.';

export function pagePhones(fetcher: typeof fetch): PhoneKeeper {
  async function asked<S extends z.ZodMiniType>(
    reply: S,
    ...request: Parameters<typeof fetch>
  ): Promise<Result<z.output<S>, string>> {
    try {
      const response = await fetcher(...request);
      const body: unknown = await response.json();
      if (response.ok) return ok(z.parse(reply, body));
      const refused = refusalSchema.safeParse(body);
      return err(refused.success ? refused.data.refused : away);
    } catch {
      return err(away);
    }
  }
  return {
    async list() {
      const known = await asked(endpoints.phones.reply, endpoints.phones.path);
      return known.ok ? ok(known.value.phones) : known;
    },
    async putOut(id) {
      const done = await asked(endpoints.phoneOut.reply, endpoints.phoneOut.path, {
        method: endpoints.phoneOut.method,
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ id }),
      });
      return done.ok ? ok(null) : done;
    },
  };
}

import type { Person } from '#src/store/people.ts';
import type { Store } from '#src/store/store.ts';
import type { Identity } from './identity-provider.ts';
import { tokenHash } from './secrets.ts';

const MOST_OF_A_NAME = 50;

/** An account under the name, or under the name with a number where somebody has it already. */
async function addUnderFreeName(
  { people }: Store,
  { name, role }: Identity & { role: Person['role'] },
  identity: string,
) {
  for (let number = 1; number < MOST_OF_A_NAME; number++) {
    const made = await people.add({
      name: number === 1 ? name : `${name} (${number})`,
      role,
      eventIds: null,
      identity,
    });
    if (made !== 'taken') return made;
  }
  return null;
}

/**
 * The account of somebody whom the provider has identified. An invitation ties its account to the identity; a role by
 * the claim makes an account at the first sign-in and sets its role at every later one. A name is never proof: an account
 * of the same name stays somebody else's. Null for somebody whom nobody let in.
 */
export async function accountOf(store: Store, identity: Identity, invitation: string | null): Promise<Person | null> {
  const { people, audit } = store;
  const key = tokenHash(identity.key);
  const known = await people.byIdentity(key);
  if (known) {
    if (known.disabled) return null;
    if (identity.role !== null && identity.role !== known.role) {
      const eventIds = identity.role === 'coordinator' ? null : known.eventIds;
      const changed = await people.change(known.id, { role: identity.role, eventIds });
      if (changed === 'changed')
        await audit.note({ accountId: known.id, action: 'account-changed', subject: known.id });
    }
    return people.byId(known.id);
  }
  if (invitation !== null) {
    const invited = await people.spendLink(tokenHash(invitation), { identity: key });
    if (invited !== 'refused') return invited;
  }
  if (identity.role === null) return null;
  const made = await addUnderFreeName(store, { ...identity, role: identity.role }, key);
  if (made) await audit.note({ accountId: made.id, action: 'account-made', subject: made.id });
  return made;
}

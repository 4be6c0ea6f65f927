// Who is signed in, and for which branch they look at things.
import { call, onSignedOut, Refusal } from './api'
import type { Branch, Session, User } from './contract'

const branchKey = 'ebbline.branch'

class SignedIn {
  /** undefined: not asked yet; null: nobody. */
  user = $state<User | null | undefined>(undefined)
  branches = $state<Branch[]>([])
  private chosen = $state(localStorage.getItem(branchKey) ?? '')

  constructor() {
    onSignedOut(() => (this.user = null))
  }

  get branch(): Branch | undefined {
    return this.branches.find((b) => b.id === this.chosen) ?? this.branches[0]
  }

  /** The branch's zone; UTC only until the session is known. */
  get zone(): string {
    return this.branch?.zone ?? 'UTC'
  }

  get office(): boolean {
    return this.user?.role === 'owner' || this.user?.role === 'dispatcher'
  }

  chooseBranch(id: string): void {
    this.chosen = id
    localStorage.setItem(branchKey, id)
  }

  /** Asks the server who this browser is. */
  async ask(): Promise<void> {
    try {
      this.take(await call<Session>('GET', '/session'))
    } catch (error) {
      if (!(error instanceof Refusal) || error.status !== 401) throw error
      try {
        this.take(await call<Session>('POST', '/session/refresh', { body: {} }))
      } catch (again) {
        if (!(again instanceof Refusal) || again.status === 0) throw again
        this.user = null
      }
    }
  }

  async signIn(email: string, password: string): Promise<void> {
    this.take(await call<Session>('POST', '/session', { body: { email, password } }))
  }

  async signOut(): Promise<void> {
    await call('DELETE', '/session')
    this.user = null
  }

  private take(session: Session): void {
    this.branches = session.branches
    this.user = session.user
  }
}

export const session = new SignedIn()

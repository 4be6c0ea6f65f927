// Photos of a job by the thing they show: a caption begins with the thing's name, "Light 1: face of the fitting".
import { call, get } from '../../lib/api'
import { Asked } from '../../lib/ask.svelte'
import type { PhotoList } from '../../lib/contract'

type Photo = PhotoList['items'][number]
const longestSide = 2400

/** The caption of a photo of `thing`. */
export const captionOf = (thing: string, what: string): string => (what.trim() ? `${thing}: ${what.trim()}` : thing)

/** What a caption says of `thing`; undefined where it is about something else. */
export function saidOf(caption: string, thing: string): string | undefined {
  if (caption === thing) return ''
  return caption.startsWith(`${thing}: `) ? caption.slice(thing.length + 2) : undefined
}

/** A camera's picture made as small as a survey needs, for a weak signal at the pool; else the picture as it is. */
export async function smaller(file: Blob): Promise<Blob> {
  if (file.size < 1_500_000 || typeof createImageBitmap !== 'function') return file
  try {
    const picture = await createImageBitmap(file)
    const by = Math.min(1, longestSide / Math.max(picture.width, picture.height))
    const canvas = document.createElement('canvas')
    canvas.width = Math.round(picture.width * by)
    canvas.height = Math.round(picture.height * by)
    canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height)
    const made = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/jpeg', 0.86))
    return made && made.size < file.size ? made : file
  } catch {
    return file // no picture that this browser can read: the server says what would be right
  }
}

export class JobPhotos {
  private readonly list = new Asked<PhotoList>()

  constructor(private readonly jobId: string) {}

  read = (): Promise<void> => this.list.ask(() => get<PhotoList>(`/jobs/${this.jobId}/photos`))

  get wrong(): string {
    return this.list.wrong
  }

  of(thing: string): Photo[] {
    return this.list.value?.items.filter((p) => saidOf(p.caption, thing) !== undefined) ?? []
  }

  async add(file: Blob, caption: string, key: string): Promise<void> {
    const body = await smaller(file)
    const query = new URLSearchParams({ job_id: this.jobId, caption })
    await call('POST', `/photos?${query}`, { body, type: 'application/octet-stream', key })
    await this.read()
  }
}

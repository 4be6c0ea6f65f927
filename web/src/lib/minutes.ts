// Clock times without a day are minutes from local midnight.

/** "07:30" of minutes, as an <input type="time"> has it; '' is not known. */
export const fromMinute = (minute: number | undefined): string =>
  minute === undefined ? '' : `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`

/** Minutes of "07:30"; undefined where nothing was entered. */
export const toMinute = (text: string): number | undefined => {
  const [h, m] = text.split(':').map(Number)
  return text === '' || h === undefined || m === undefined ? undefined : h * 60 + m
}

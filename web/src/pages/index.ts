// Which address shows which page. `nav` is its name in the top bar; `office` pages are not for techs.
import type { Component } from 'svelte'
import Converted from './converted/Converted.svelte'
import Enquiries from './enquiry/Enquiries.svelte'
import Enquiry from './enquiry/Enquiry.svelte'
import NewEnquiry from './enquiry/NewEnquiry.svelte'
import Notices from './notices/Notices.svelte'
import Prep from './prep/Prep.svelte'
import Sheet from './sheet/Sheet.svelte'
import Today from './today/Today.svelte'
import Week from './week/Week.svelte'
import Yard from './yard/Yard.svelte'

interface Page {
  path: string
  title: string
  nav?: string
  office?: boolean
  view: Component<any>
}

export const pages: Page[] = [
  { path: '/enquiry', title: 'Enquiry', nav: 'Enquiry', office: true, view: Enquiries },
  { path: '/enquiry/new', title: 'New enquiry', office: true, view: NewEnquiry },
  { path: '/enquiry/:id', title: 'Enquiry', office: true, view: Enquiry },
  { path: '/week', title: 'Week', nav: 'Week', office: true, view: Week },
  { path: '/today', title: 'Pools today', nav: 'Pools today', view: Today },
  { path: '/prep', title: 'Prep watch', nav: 'Prep watch', office: true, view: Prep },
  { path: '/notices', title: 'Notices', nav: 'Notices', office: true, view: Notices },
  { path: '/converted', title: 'Converted', nav: 'Converted', office: true, view: Converted },
  { path: '/yard', title: 'Yard', nav: 'Yard', office: true, view: Yard },
  { path: '/sheet/:id', title: 'Pool sheet', view: Sheet },
]

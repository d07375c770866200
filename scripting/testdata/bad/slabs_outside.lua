-- want: slabs_outside.lua:2: slabs(...) may only stand inside a plan, where the works is known
local enough = slabs(120)
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}

-- want: no_unit.lua:5: upset "caster breakout" needs 'unit'; add unit = "..."
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "caster breakout" { at = "2031-11-07 07:00", lasts = "8 h" }

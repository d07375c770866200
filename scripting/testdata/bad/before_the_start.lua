-- want: before_the_start.lua:6: at: that is before the scenario starts, 2031-11-07 06:00; write a time at or after the start
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" { lasts = "8 h",
  at = "2031-11-07 05:00",
}

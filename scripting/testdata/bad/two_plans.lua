-- want: two_plans.lua:7: plan "wait" is there twice, first on line 6; give each a name of its own
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
plan "carry on" {}
plan "wait" (function (works) works:await("1 h") end)
plan "wait" (function (works) works:await("2 h") end)

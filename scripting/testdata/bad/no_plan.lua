-- want: no_plan.lua:6: plan "p" is neither a function nor {}, which is standing orders alone; write plan "name" (function (works) ... end)
-- want: no_plan.lua:7: unknown key 'slow' in plan "q"; take it out
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
plan "p" "carry on"
plan "q" { slow = "C1" }

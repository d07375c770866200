-- want: no_scenario.lua: there is no scenario in the file; begin it with scenario "name" { ... }
plan "carry on" {}

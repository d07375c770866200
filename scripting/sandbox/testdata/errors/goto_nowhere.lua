-- want: goto_nowhere.lua:3: no visible label 'again'

goto again

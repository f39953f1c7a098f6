package sky

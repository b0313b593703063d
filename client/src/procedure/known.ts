/**
 * The fields of a bundle that this app knows.
 * Written by `python -m twoturns.procedure.compile.known_fields`: change form.py, not this.
 */
export interface Fields {
  readonly [name: string]: Fields | true
}

export const FORM = 1

export const bundleFields: Fields = {"v":true,"id":true,"name":true,"edition":true,"vehicle":true,"engine_codes":true,"cautions":true,"interval":{"months":true,"km":true},"interrupt_minutes":true,"conditions":{"id":true,"kind":true,"label":true,"values":{"id":true,"says":true},"start":true},"phases":{"id":true,"name":true},"steps":{"id":true,"number":true,"phase":true,"title":true,"act":true,"says":true,"because":true,"caution":{"sign":true,"says":true},"look":true,"torque":{"nm":true,"angle_deg":true,"sequence":true},"undo":true,"must":true,"together":true,"once":true,"uses":{"part":true,"count":true},"proof":{"name":true,"kind":true,"label":true,"unit":true,"low":true,"high":true,"target":true,"tool":true,"options":{"id":true,"says":true,"ok":true},"part":true,"hint":true,"by":true,"of":true,"wheel":true,"like":true},"fails":{"id":true,"says":true,"then":true},"tools_out":true,"tools_in":true},"rules":{"id":true,"kind":true,"never":true,"because":true},"ends":{"id":true,"name":true,"because":true},"tools":{"slot":true,"label":true,"outline":true,"tag":true,"low":true,"high":true,"unit":true},"kit":{"part":true,"label":true,"count":true,"single_use":true},"drive":true,"assets":{"name":true,"blob":true,"type":true},"machine":{"conditions":{"id":true,"proof":true,"values":true,"start":true},"steps":{"id":true,"undo":true,"must":true,"together":true,"guard":true,"moves":true,"effect":true,"on_the_way":true,"fails":{"id":true,"effect":true,"look":true},"reopen":true,"rules":{"rule":true,"guard":true},"proof":{"name":true,"kind":true,"low":true,"high":true,"ok":true},"tools_out":true,"tools_in":true},"rests":true,"makers":true,"ends":{"id":true,"all_must":true,"conditions":true}}}

package jobs

import "strconv"

// spanishDay is a day as people read it: lunes 2 de marzo de 2026.
func spanishDay(d Day) string {
	if !d.Valid() {
		return string(d)
	}
	t := texting{phrases: &spanish}
	return t.civil(d) + " de " + strconv.Itoa(d.date().Year())
}

var quoteSpanish = quoteWords{
	QuoteLabels: QuoteLabels{
		Language: "es-US", Quote: "Presupuesto %d", Draft: "borrador sin enviar", For: "Para", License: "Licencia",
		Price: "Precio", Tax: "Impuesto", Together: "Total", Deposit: "Anticipo, parte del total", Down: "anticipo", Ways: "Maneras de hacerlo; elija una al aprobar", Chosen: "aprobada",
		Water: "El agua", Lowering: "bajando", Low: "baja: trabajamos", Filling: "llenando",
		Done: "Lo que se hace", Excluded: "Lo que no está incluido", Extra: "Trabajo adicional, solo si resulta necesario", Care: "Tenga cuidado", Terms: "Condiciones",
		Sign: "Aprobado por, nombre y firma", SignWay: "número de la manera elegida", Page: "página %d de %s", Paper: "En papel",
	},
	Valid: "Se puede aprobar hasta el %s.", SignDay: "Fecha, hasta el %s", Day: spanishDay,
	Line:     "Cambio de %s a LED de baja tensión, mano de obra y materiales",
	OneLight: "1 luz de piscina", Lights: "%d luces de piscina",
	OneZone: "todas las luces en una zona, que se encienden y cambian de color juntas", TwoZones: "dos zonas, cada una se enciende y cambia de color por su cuenta", Zones: "%d zonas, cada una se enciende y cambia de color por su cuenta",
	OneShort: "una zona", TwoShort: "dos zonas", Joined: "todas las luces se encienden y cambian de color juntas",
	Apart: "cada zona se enciende y cambia de color por su cuenta",
	Now:   "%s ahora", AllNow: "todas las luces ahora", Later: "más adelante: %s", LaterCosts: "el resto, unos $%s como trabajo aparte a los precios de hoy",
	More: "$%s más que la primera", Less: "$%s menos que la primera",
	PaidBack: "solo con lo ahorrado, el precio se recupera en unos %s",
	OneMonth: "1 mes", Months: "%d meses", Years: "%d años",
	Saves: "Encendidas %s horas al año, las luces nuevas ahorran unos %s kWh o $%s de electricidad", Between: " (de $%s a $%s)",
	SavesLamps: ", y unos $%s de lámparas", SavesRate: ", con el kilovatio-hora a %d.%d centavos.",
	SavesUnknown:   "Todavía no se sabe cuánto ahorran al año las luces nuevas: faltan los vatios de las lámparas viejas y cuánto tiempo se encienden.",
	SavesNothing:   "Por lo que se sabe, las luces nuevas no ahorran electricidad frente a las viejas.",
	PaybackUnknown: "Todavía no se sabe en cuánto tiempo lo ahorrado paga el precio.",
	Course: "El agua se baja por debajo de las luces en aproximadamente %s, queda baja mientras trabajamos y vuelve después de aproximadamente " +
		"%s de llenado.",
	ExtraLimit: "Nada de esto se hace antes de que usted acepte su precio. Hasta $%s lo puede acordar con quien dirige la cuadrilla junto a la piscina; " +
		"por encima, nuestra oficina le envía antes el precio.",
	ExtraNone:   "Nada de esto se hace antes de que usted acepte su precio, que nuestra oficina le envía antes.",
	DepositTerm: spanish.DepositTerm,
	FirstPrice:  "Precio de la primera manera", ChosenDeposit: "Antes de planear el trabajo se paga el anticipo de la manera que usted elija.",
	CancelTerm: "Puede cancelar sin costo hasta %d días después de aprobarlo; ninguna cuadrilla va antes.",
	SafetyTerm: spanish.SafetyTerm,
	Excludes: []string{
		"Abrir un conducto, el piso o la tierra, salvo que figure arriba; vea los precios del trabajo adicional.",
		"Reparar yeso, azulejo, revestimiento o piso más allá de los herrajes de las luces.",
		"El costo del agua y del desagüe al bajar y rellenar, y el equilibrio del agua después.",
		"El trabajo que pida un inspector más allá de lo que el código pide para este cambio.",
	},
	Does: map[VisitKind]string{
		VisitPrepare: "Preparar la tierra y el conducto antes de bajar el agua", VisitCircuit: "El circuito de la fuente nueva, por una persona con licencia",
		VisitDrain: "Bajar el agua por debajo de las luces", VisitConvert: "Sacar los haces de fibra viejos y poner las luces nuevas con sus cables",
		VisitConnect: "Conectar la fuente, por una persona con licencia", VisitInspect: "Estar presentes cuando se inspecciona el trabajo",
		VisitCommission: "Probar las luces bajo el agua y mostrarle cómo se usan", VisitCollect: "Recoger nuestro equipo",
	},
	Cautions: map[string]string{
		"low": "Mientras el agua está baja, la piscina es un peligro para niños, animales y quien se caiga: que nadie se acerque, y la bomba, el calentador " +
			"y las luces apagados.",
		"shell":      "No deje que el agua baje más del nivel previsto. Una piscina vacía puede flotar, agrietarse o arrugarse.",
		"chlorine":   "El agua con cloro no se puede sacar. Le decimos desde cuándo no añadir más; hasta que la piscina vuelva a sus manos, nadie se baña en ella.",
		"power":      "No toque las luces, su caja ni su interruptor mientras trabajamos. Nunca encienda una luz que el agua no cubra.",
		"filler":     "Cierre el llenador automático antes de bajar el agua y déjelo cerrado hasta que le digamos que llene.",
		"uplift":     "Aquí el agua subterránea puede estar alta y empujar la piscina. Alguien debe aceptar ese riesgo con su nombre antes de bajar el agua.",
		"finish":     "Debemos conocer el acabado de la piscina antes de bajar el agua: el vinilo y la fibra de vidrio piden más cuidado y su consentimiento.",
		"liner":      "Un revestimiento de vinilo puede moverse, encogerse o romperse con el agua baja. Alguien debe aceptar ese riesgo con su nombre antes de bajarla.",
		"fibreglass": "Una piscina de fibra de vidrio puede abombarse o flotar con el agua baja. Alguien debe aceptar ese riesgo con su nombre antes de bajarla.",
		"heat":       "El yeso descubierto se seca y se agrieta con el calor: en días calurosos le damos sombra y lo mojamos, o vamos un día más fresco.",
		"rain":       "La lluvia fuerte sube el agua subterránea. En época de lluvias puede que haya que cambiar el día.",
		"unattended": "Cuando la bomba trabaja sin que haya nadie, alguien debe mirar el nivel cuando se lo pidamos.",
		"salt":       "En la mayoría de los lugares, el agua salada solo va al registro del alcantarillado.",
		"floor":      "La parte poco profunda puede quedar seca antes de llegar al nivel: que nadie camine dentro de la piscina.",
	},
	Own: map[string]string{
		"Work a stuck bundle free, each hour":                                "Soltar un haz atascado, cada hora",
		"a bundle holds although it moved when tugged":                       "un haz no sale aunque se movía al tirar de él",
		"Open up, put in a new piece of conduit and close again, each place": "Abrir, poner un tramo nuevo de conducto y cerrar, cada lugar",
		"a conduit is crushed, broken or blocked":                            "un conducto está aplastado, roto o tapado",
		"Find and open a hidden tee, each":                                   "Encontrar y abrir una te oculta, cada una",
		"lights turn out to share a conduit under the deck":                  "resulta que varias luces comparten un conducto bajo el piso",
		"Trench with new conduit, each 10 ft, soil only":                     "Zanja con conducto nuevo, cada 10 pies, solo en tierra",
		"an old conduit can't be used; buried lines are marked first":        "un conducto viejo no sirve; antes se marcan las líneas enterradas",
		"Longer light-and-cord set than ordered, each":                       "Luz con cable más largo que el pedido, cada una",
		"a run measures longer than it was said to be":                       "un recorrido mide más de lo que se dijo",
		"Another day of lowering":                                            "Otro día de bajar el agua",
		"rain, a filler left open, or a slower discharge than allowed":       "lluvia, un llenador abierto o un desagüe más lento de lo permitido",
		"New breaker with ground-fault protection":                           "Interruptor nuevo con protección de falla a tierra",
		"the circuit turns out to have none":                                 "resulta que el circuito no la tiene",
		"New base for the supply":                                            "Base nueva para la fuente",
		"the old base is wet, loose or too low":                              "la base vieja está mojada, suelta o demasiado baja",
		"Rework or adapt a wall fitting, each":                               "Rehacer o adaptar un herraje de pared, cada uno",
		"the light's body does not fit the old wall fitting":                 "el cuerpo de la luz no entra en el herraje viejo",
		"Seal a conduit that leaks, each":                                    "Sellar un conducto que pierde agua, cada uno",
		"water stands in a conduit once the bundle is out":                   "queda agua en un conducto cuando sale el haz",
	},
}

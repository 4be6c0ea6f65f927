package jobs

// Spanish as it is written in the United States: usted, the twelve-hour clock
// with "a. m." and "p. m.", days and months in small letters (Ortografía de la
// lengua española, from memory).
var spanish = phrases{
	Weekdays: map[int]string{0: "domingo", 1: "lunes", 2: "martes", 3: "miércoles", 4: "jueves", 5: "viernes", 6: "sábado"},
	Months: map[int]string{1: "enero", 2: "febrero", 3: "marzo", 4: "abril", 5: "mayo", 6: "junio", 7: "julio", 8: "agosto",
		9: "septiembre", 10: "octubre", 11: "noviembre", 12: "diciembre"},
	Day: "%[1]s %[3]d de %[2]s", AM: "a. m.", PM: "p. m.", Clock: "%d:%02d %s", At: "%s, %s",
	SameDay: "%s, de %s a %s", TwoDays: "entre el %s, y el %s",
	OneHour: "1 hora", Hours: "%d horas", Days: "%d días",

	Hello:     "Hola, %s:",
	Changed:   "Cambio: %s",
	Replaces:  "Esto sustituye lo que le escribimos antes.",
	Questions: "Si tiene preguntas o la hora no le conviene: %s",
	License:   "Licencia %s",
	Answer:    "Para responder, abra este enlace (es solo para usted):",

	WaterCaution: "No deje que el agua baje del nivel previsto: una piscina vacía puede flotar, agrietarse o arrugarse. " +
		"Las normas locales dicen adónde puede ir el agua de la piscina.",
	PowerCaution: "Deje apagadas las luces de la piscina mientras trabajamos. El trabajo eléctrico lo hace una persona con licencia, " +
		"según el código local y las instrucciones del fabricante.",
	CrewCaution: "Sigan el código local y las instrucciones del fabricante; el trabajo eléctrico lo hace la persona con licencia, sin tensión " +
		"y con la etiqueta puesta antes de abrir una caja. Nunca por debajo del nivel de agua previsto.",
	ChemistryCaution: "Siga las etiquetas de los productos químicos y las normas locales.",
	SwimCaution:      "Nadie debe nadar en agua sin tratar.",
	FillCaution:      "Nunca deje el llenado abierto sin vigilancia durante la noche.",
	OverflowCaution:  "Una piscina que se desborda puede socavar el piso e inundar los equipos. Las luces quedan apagadas hasta que el agua las cubra.",
	DryCaution:       "Una bomba que trabaja en seco se quema, y las luces no deben encenderse en seco.",

	Gate:            "Por favor, asegúrese de que podamos pasar por la puerta.",
	Pets:            "Por favor, tenga a las mascotas dentro de la casa.",
	Children:        "Por favor, mantenga a los niños lejos de la piscina bajada.",
	PetsAndChildren: "Por favor, mantenga a las mascotas y a los niños lejos de la piscina bajada.",

	What: map[VisitKind]string{
		VisitSurvey: "ver su piscina y sus luces", VisitPrepare: "preparar el lugar de la nueva fuente de alimentación",
		VisitCircuit: "trabajar en el circuito de las luces", VisitDrain: "empezar a bajar el agua", VisitConvert: "cambiar las luces",
		VisitConnect: "conectar las luces nuevas", VisitInspect: "reunirse con el inspector",
		VisitCommission: "probar las luces bajo el agua y enseñarle a usarlas", VisitCollect: "recoger nuestros equipos",
		VisitCallBack: "revisar otra vez las luces", "": "ver su piscina",
	},
	Kinds: map[VisitKind]string{
		VisitSurvey: "inspección previa", VisitPrepare: "preparación", VisitCircuit: "circuito", VisitDrain: "vaciado parcial",
		VisitConvert: "cambio de luces", VisitConnect: "conexión", VisitInspect: "inspector", VisitCommission: "puesta en marcha",
		VisitCollect: "recogida", VisitCallBack: "revisión", "": "visita",
	},

	Booking:        "Nuestra cuadrilla irá a %[1]s para %[2]s.",
	Arrival:        "Llegada: %s.",
	BookingSubject: "Su día: %s en %s",

	Hold:           "Antes de bombear el agua de %s, esta debe pasar %s sin cloro, o hay que neutralizarla.",
	StopFrom:       "Por favor, no añada cloro y apague la celda de cloro, si la hay, a partir del %s.",
	StopNow:        "Por favor, no añada cloro y apague la celda de cloro, si la hay, desde ahora; lo que quede lo neutralizamos donde las normas locales lo permitan.",
	Measure:        "Medimos el cloro y el pH antes de que salga agua.",
	StopSubject:    "Sin cloro a partir del %s: %s",
	StopNowSubject: "Sin cloro desde ahora: %s",

	WeLower:         "Nuestra cuadrilla empieza a bajar el agua en %s: %s.",
	YouLower:        "Por favor, empiece a bajar el agua en %s: %s.",
	NotEarlier:      "No antes, porque la piscina no debe quedar baja mucho tiempo; no después, porque debe estar baja a tiempo.",
	LowBy:           "Nuestra cuadrilla trabaja en la piscina bajada a partir del %s.",
	NeedPower:       "La bomba necesita cerca un tomacorriente con protección.",
	Filler:          "Cierre la válvula del llenador automático antes de bajar el agua.",
	EquipmentOff:    "Apague la bomba, el calentador y el temporizador de la piscina mientras el agua esté baja.",
	WeLowerSubject:  "Bajamos el agua: %s en %s",
	YouLowerSubject: "Empiece a bajar el agua: %s en %s",

	Halfway:        "El agua en %s debería haber bajado más o menos la mitad. Por favor, díganos a qué distancia está por debajo de la línea de azulejos.",
	HowToRead:      "Mida en línea recta desde el borde inferior del azulejo hasta el agua, al cuarto de pulgada, desde el piso: nadie debe meterse en la piscina. Una foto ayuda.",
	HalfwayWhy:     "Así vemos si la piscina estará baja a tiempo. Si el agua no ha empezado a bajar o se ha parado, llámenos, por favor.",
	HalfwaySubject: "¿Cuánto ha bajado el agua? %s",

	OnTheWay:        "Nuestra cuadrilla ha salido hacia %s y debería llegar hacia esta hora: %s.",
	OnTheWaySubject: "La cuadrilla va en camino: %s",

	Late:        "Lo sentimos: nuestra cuadrilla se retrasa para %s. Debería llegar hacia esta hora: %s; habíamos dicho a más tardar: %s.",
	LateSubject: "Nuestra cuadrilla se retrasa: %s",

	OpenFill:        "Las luces en %s ya están puestas. Por favor, abra el llenado ahora: %s.",
	Covered:         "Las luces deberían estar otra vez bajo el agua a más tardar el %s.",
	Limit:           "La piscina no debe seguir baja después del %s.",
	OffUntilBack:    "Por favor, deje apagados la bomba, el calentador y las luces hasta que el agua vuelva a su nivel habitual.",
	OpenFillSubject: "Abra el llenado: %s",

	CloseFill:        "Las luces en %s deberían estar bajo el agua a más tardar el %s. Por favor, mire el nivel y cierre el llenado cuando vuelva a su marca habitual.",
	CloseFillSubject: "Cierre el llenado: %s",

	LookAfter: "El agua en %s ha vuelto hace un día. Por favor, marque el nivel en el azulejo y mire otra vez mañana: " +
		"si en un día sin lluvia ni chapoteo baja más de un cuarto de pulgada, conviene llamarnos.",
	Balance:          "Antes de que nadie nade, quien trata la piscina debe equilibrar el agua.",
	LookAfterSubject: "Mire el nivel del agua: %s",

	HowToUse:        "Las luces de su piscina en %s ya están cambiadas y probadas bajo el agua.",
	UseCovered:      "- Enciéndalas solo mientras el agua las cubra: el agua las enfría.",
	UseCall:         "- Llámenos, y déjelas apagadas, si una luz parpadea, tiene fugas o hace saltar su protección.",
	UseNever:        "- Nunca abra usted una luz, una caja ni la fuente: el trabajo eléctrico lo hace una persona con licencia, según el código local.",
	HowToUseSubject: "Las luces nuevas de su piscina: %s",

	LeaveAlone:        "Estamos cambiando las luces en %s, y del agua nos ocupamos nosotros desde el %s hasta el %s.",
	LeaveAloneWhat:    "Por favor, no llene, no dosifique ni encienda ninguna bomba allí hasta que le escribamos que la piscina vuelve a sus manos.",
	LeaveAloneSubject: "Por favor, no toque la piscina hasta el %s: %s",

	BackToYou:        "Nuestro trabajo en %s termina a más tardar el %s. La piscina vuelve a sus manos.",
	BackToYouTest:    "El agua estuvo sin cloro y se cambió en parte: por favor, analícela y equilíbrela antes de que nadie nade.",
	BackToYouSubject: "La piscina vuelve a sus manos: %s",

	Sheet:        "%s, %s: salida %s, regreso hacia %s.",
	OnePump:      "Carguen 1 bomba.",
	Pumps:        "Carguen %d bombas.",
	SheetStop:    "%d. %s a %s  %s, %s (trabajo %d)",
	SheetMore:    "Los códigos de las puertas, las medidas y las piezas están en la hoja de cada piscina.",
	SheetSubject: "%s, %s, paradas: %d",

	Unconfirmed: "Trabajo %d, %s: nadie ha dicho que el agua empezó a bajar, y tenía que empezar así: %s.",
	UnconfirmedDo: "La cuadrilla debe entrar en la piscina bajada el %s. Llame al cliente, mande una bomba o cambie la visita " +
		"antes de que salga el camión.",
	UnconfirmedSubject: "Bajada del agua sin confirmar: trabajo %d, %s",

	SheetGone:        "La hoja de %s para el %s ya no vale: ese día no hay paradas.",
	SheetGoneSubject: "Anulado: %s, %s",
	VisitGone:        "Queda anulada la visita a %[1]s para %[2]s: %[3]s.",
	LowerGone:        "Por favor, NO baje el agua en %s (%s): ese día queda anulado.",
	LowerGoneCall:    "Si el agua ya está baja, llámenos ahora, por favor.",
	OtherGone:        "Lo que le escribimos sobre %s (%s) ya no vale.",
	NewDay:           "Le escribiremos otra vez cuando haya un día nuevo.",
	GoneSubject:      "Anulado: %s en %s",

	Bounced:        "El mensaje %q para %s no se pudo entregar.\n\nMotivo: %s\n\nPor favor, avise de otra manera.",
	BouncedSubject: "Un mensaje volvió: %s",

	Quote:        "Este es nuestro presupuesto para las luces de la piscina en %s.",
	QuoteSubject: "Su presupuesto para las luces de la piscina",
	Tax:          "Impuesto", Total: "Importe en dólares", Deposit: "Anticipo al aprobar",
	QuoteUntil:  "Se puede aprobar hasta el %s.",
	OneLight:    "Cambio de 1 luz de piscina a LED de baja tensión, mano de obra y materiales",
	Lights:      "Cambio de %d luces de piscina a LED de baja tensión, mano de obra y materiales",
	DepositTerm: "Antes de planear el trabajo se paga un anticipo de $%s.",
	CancelTerm:  "Se puede cancelar sin costo hasta %d días después de aprobarlo.",
	SafetyTerm: "Siga el código local y las instrucciones del fabricante. El trabajo eléctrico lo hace una persona con licencia; decide la autoridad competente. " +
		"No vacíe la piscina por debajo del nivel previsto: una piscina vacía puede flotar, agrietarse o arrugarse.",
}
